//! Prints docs/crops.md: `cargo run -p garden --example crops_reference > docs/crops.md`.

fn main() {
    print!("{}", garden::crops::reference::page());
}
