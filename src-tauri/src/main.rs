//! The desktop program: the library with a `main`.

fn main() {
    turnwise_app::run();
}
