//! `sweep --parquet`: the cells of the CSV, read back.

use crate::bench::{folder, pressfed};
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use std::fs;

#[test]
fn parquet_has_the_cells_of_the_csv() {
    let folder = folder("parquet");
    let mut stands = scenarios::ready_made().iter();
    let blowdown = stands.find(|s| s.name == "blowdown-water");
    let text = blowdown.expect("it is ready made").text;
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
    let axis = "tank.fuel.ullage=30 %, nonsense, 40 %";
    let sweep = [
        "sweep",
        "stand.toml",
        "--vary",
        axis,
        "-o",
        "out",
        "--parquet",
    ];
    let ended = pressfed(&folder, &sweep);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let table = fs::read_to_string(folder.join("out/sweep.csv")).expect("the table is there");
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let names = table.headers().expect("a heading").clone();
    let file = fs::File::open(folder.join("out/sweep.parquet")).expect("it is there");
    let reader = SerializedFileReader::new(file).expect("it is Parquet");
    let rows = reader.get_row_iter(None).expect("it has rows");
    let mut count = 0;
    for (row, record) in rows.zip(table.records()) {
        let (row, record) = (row.expect("a row"), record.expect("a record"));
        for ((name, field), (heading, cell)) in row.get_column_iter().zip(names.iter().zip(&record))
        {
            assert_eq!(name, heading);
            let same = match field {
                Field::Null => cell.is_empty(),
                Field::Long(value) => cell.parse() == Ok(*value),
                Field::Bool(value) => cell.parse() == Ok(*value),
                Field::Double(value) => cell.parse() == Ok(*value),
                Field::Str(value) => cell == value,
                _ => false,
            };
            assert!(same, "{name}: {field} {cell}");
        }
        count += 1;
    }
    assert_eq!(count, 3);
}
