//! The table of a sweep as Parquet, made of its finished CSV, so that stopping, going on and
//! gathering are those of the CSV.

use super::sweep_table::Manifest;
use super::whole::{WriteError, write_by};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::Type;
use std::fs::File;
use std::path::Path;
use std::sync::Arc;

/// Rows that are held at once.
const GROUP: usize = 1 << 14;

/// What a column holds.
#[derive(Clone, Copy)]
enum Kind {
    Index,
    Verdict,
    Text,
    Number,
}

impl Kind {
    fn of(column: &str, manifest: &Manifest) -> Self {
        match column {
            "point" => Self::Index,
            "requirements_met" | "limits_kept" => Self::Verdict,
            "failure" => Self::Text,
            _ if manifest.axes.iter().any(|a| a.path == column) => Self::Text,
            _ => Self::Number,
        }
    }

    /// As the schema says it; an empty cell is null.
    fn declared(self, name: &str) -> Result<Arc<Type>, ParquetError> {
        let (physical, logical, repetition) = match self {
            Self::Index => (Physical::INT64, None, Repetition::REQUIRED),
            Self::Verdict => (Physical::BOOLEAN, None, Repetition::OPTIONAL),
            Self::Text => {
                let text = Some(LogicalType::String);
                (Physical::BYTE_ARRAY, text, Repetition::OPTIONAL)
            }
            Self::Number => (Physical::DOUBLE, None, Repetition::OPTIONAL),
        };
        let column = Type::primitive_type_builder(name, physical);
        let column = column.with_logical_type(logical);
        Ok(Arc::new(column.with_repetition(repetition).build()?))
    }
}

/// Writes `sweep.parquet` beside a finished `sweep.csv`.
///
/// # Errors
/// If the table cannot be read or the file not be written.
pub fn write_beside(table: &Path, manifest: &Manifest) -> Result<(), WriteError> {
    write_by(&table.with_extension("parquet"), |aside| {
        convert(table, manifest, aside)
    })
}

fn convert(table: &Path, manifest: &Manifest, target: &Path) -> Result<(), String> {
    let mut reader = csv::Reader::from_path(table).map_err(|e| e.to_string())?;
    let header = reader.headers().map_err(|e| e.to_string())?.clone();
    let kinds: Vec<Kind> = header.iter().map(|c| Kind::of(c, manifest)).collect();
    let schema = schema(&header, &kinds).map_err(|e| e.to_string())?;
    let file = File::create(target).map_err(|e| e.to_string())?;
    let said = |e: ParquetError| e.to_string();
    let properties = Arc::new(WriterProperties::builder().build());
    let mut writer = SerializedFileWriter::new(file, schema, properties).map_err(said)?;
    let mut records = reader.records();
    loop {
        let rows: Result<Vec<_>, _> = records.by_ref().take(GROUP).collect();
        let rows = rows.map_err(|e| e.to_string())?;
        if rows.is_empty() {
            break;
        }
        let mut group = writer.next_row_group().map_err(said)?;
        write_group(&mut group, &kinds, &rows).map_err(said)?;
        group.close().map_err(said)?;
    }
    writer.close().map(|_| ()).map_err(said)
}

fn schema(header: &csv::StringRecord, kinds: &[Kind]) -> Result<Arc<Type>, ParquetError> {
    let columns = header.iter().zip(kinds);
    let columns = columns.map(|(name, kind)| kind.declared(name));
    let sweep = Type::group_type_builder("sweep");
    let sweep = sweep.with_fields(columns.collect::<Result<_, _>>()?);
    Ok(Arc::new(sweep.build()?))
}

fn write_group(
    group: &mut SerializedRowGroupWriter<'_, File>,
    kinds: &[Kind],
    rows: &[csv::StringRecord],
) -> Result<(), ParquetError> {
    for column in 0..kinds.len() {
        let Some(mut writer) = group.next_column()? else {
            break;
        };
        let cells = || rows.iter().map(|row| row.get(column).unwrap_or_default());
        // Level 1 is a value, level 0 none.
        let levels: Vec<i16> = cells().map(|cell| i16::from(!cell.is_empty())).collect();
        let given = || cells().filter(|cell| !cell.is_empty());
        match writer.untyped() {
            ColumnWriter::Int64ColumnWriter(typed) => {
                let values: Vec<i64> = cells().map(|c| c.parse().unwrap_or(-1)).collect();
                typed.write_batch(&values, None, None)?;
            }
            ColumnWriter::BoolColumnWriter(typed) => {
                let values: Vec<bool> = given().map(|c| c == "true").collect();
                typed.write_batch(&values, Some(&levels), None)?;
            }
            ColumnWriter::DoubleColumnWriter(typed) => {
                let values: Vec<f64> = given().map(|c| c.parse().unwrap_or(f64::NAN)).collect();
                typed.write_batch(&values, Some(&levels), None)?;
            }
            ColumnWriter::ByteArrayColumnWriter(typed) => {
                let values: Vec<ByteArray> = given().map(ByteArray::from).collect();
                typed.write_batch(&values, Some(&levels), None)?;
            }
            _ => {}
        }
        writer.close()?;
    }
    Ok(())
}
