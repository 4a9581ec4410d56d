//! Compiles the program again when the pages it carries were built anew.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed=../ui/dist");
}
