//! Writes the schemas of a record and of an export into a folder: `export_schema DIR`.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let dir = std::env::args().nth(1).ok_or("usage: export_schema DIR")?;
    std::fs::create_dir_all(&dir)?;
    for (name, text) in turnwise_record::schema::files()? {
        std::fs::write(Path::new(&dir).join(name), text)?;
    }
    Ok(())
}
