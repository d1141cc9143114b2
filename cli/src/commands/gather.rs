//! `pressfed gather`: the shards of a sweep, put together as if it had run in one piece.

use super::input::Input;
use super::{Failure, Success, predict};
use crate::args::GatherArgs;
use crate::export::sweep_table::{self, Manifest};
use crate::export::whole;
use crate::plot::sweep::pictures;
use crate::terminal::screen;
use scenarios::studies::sweep::shard;
use shared::quantity::Display;
use std::fs::{self, File};
use std::io::{BufRead, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

/// Points beyond which no picture is drawn.
const MOST_DRAWN: u64 = 100_000;

/// Puts the shards of a folder together.
///
/// # Errors
/// If a shard is missing or not whole.
pub fn run(args: &GatherArgs) -> Result<Success, Failure> {
    let folder = &args.folder;
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(false)?;
    let manifest = read_manifest(folder)?;
    let shards = shards(folder)?;
    let target = folder.join(sweep_table::file_name(1, 1));
    whole::write_by(&target, |aside| join(&shards, manifest.points, aside))
        .map_err(|e| Failure::input(e.to_string()))?;
    let count = shards.len();
    screen::say(&format!(
        "gathered {count} shards into {}",
        target.display()
    ));
    #[cfg(feature = "parquet")]
    if args.parquet {
        crate::export::parquet::write_beside(&target, &manifest)?;
    }
    draw(folder, &manifest, &stand.display)?;
    Ok(Success::Done)
}

fn read_manifest(folder: &Path) -> Result<Manifest, Failure> {
    let path = folder.join(sweep_table::MANIFEST);
    let shown = path.display();
    let text = fs::read_to_string(&path).map_err(|e| {
        let remedy = "name the folder that sweep --shard has written";
        Failure::input(format!("cannot read {shown}: {e}; {remedy}"))
    })?;
    serde_json::from_str(&text)
        .map_err(|e| Failure::input(format!("{shown} is damaged: {e}; run a shard again")))
}

/// Draws the pictures of a whole sweep of one or two axes.
pub(super) fn draw(folder: &Path, manifest: &Manifest, display: &Display) -> Result<(), Failure> {
    let path = folder.join(sweep_table::file_name(1, 1));
    if manifest.is_grid() && manifest.points <= MOST_DRAWN {
        let table = fs::read(&path);
        let table = table.map_err(|e| Failure::input(format!("{}: {e}", path.display())))?;
        for picture in pictures(&table, manifest, display) {
            predict::write_picture(&picture, folder)?;
        }
    }
    screen::say(&format!("{} points in {}", manifest.points, path.display()));
    Ok(())
}

/// The shards of a folder in order, all of them.
fn shards(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let shown = folder.display();
    let entries = fs::read_dir(folder).map_err(|e| Failure::input(format!("{shown}: {e}")))?;
    let names = entries.filter_map(|e| e.ok()?.file_name().into_string().ok());
    let of = names.filter_map(|name| {
        let (_, of) = name.strip_prefix("sweep-shard-")?.split_once("-of-")?;
        of.strip_suffix(".csv")?.parse::<u64>().ok()
    });
    let Some(of) = of.max() else {
        let remedy = "run pressfed sweep with --shard 1/N to N/N first";
        return Err(Failure::input(format!("{shown} holds no shards; {remedy}")));
    };
    let paths = (1..=of).map(|part| (part, folder.join(sweep_table::file_name(part, of))));
    let missing: Vec<String> = paths
        .clone()
        .filter(|(_, path)| !path.exists())
        .map(|(part, _)| format!("{part}/{of}"))
        .collect();
    if missing.is_empty() {
        return Ok(paths.map(|(_, path)| path).collect());
    }
    let missing = missing.join(", ");
    Err(Failure::input(format!(
        "{shown} lacks the shards {missing}; run them with --shard into this folder"
    )))
}

/// The heading of the first, the rows of all, each shard with as many as it should have.
fn join(shards: &[PathBuf], points: u64, target: &Path) -> Result<(), String> {
    let said = |e: std::io::Error| e.to_string();
    let mut out = BufWriter::new(File::create(target).map_err(said)?);
    let of = shards.len() as u64;
    for (part, path) in (1..).zip(shards) {
        let mut lines = BufReader::new(File::open(path).map_err(said)?);
        let mut line = Vec::new();
        lines.read_until(b'\n', &mut line).map_err(said)?;
        if part == 1 {
            out.write_all(&line).map_err(said)?;
        }
        let rows = copy_rows(&mut lines, &mut out).map_err(said)?;
        let indices = shard(points, part, of);
        let wanted = indices.end - indices.start;
        if rows != wanted {
            let name = path.display();
            return Err(format!(
                "{name} has {rows} points, not {wanted}; remove it and run it again"
            ));
        }
    }
    out.flush().map_err(said)
}

fn copy_rows(from: &mut impl BufRead, to: &mut impl Write) -> std::io::Result<u64> {
    let mut rows = 0;
    let mut line = Vec::new();
    while from.read_until(b'\n', &mut line)? > 0 {
        to.write_all(&line)?;
        line.clear();
        rows += 1;
    }
    Ok(rows)
}
