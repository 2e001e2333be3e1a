//! Prints docs/garden.md: `cargo run -p garden --example reference > docs/garden.md`.

fn main() {
    print!("{}", garden::schema::reference::page());
}
