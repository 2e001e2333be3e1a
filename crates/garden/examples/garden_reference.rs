//! Prints docs/garden.md: `cargo run -p garden --example garden_reference > docs/garden.md`.

fn main() {
    print!("{}", garden::schema::reference::page());
}
