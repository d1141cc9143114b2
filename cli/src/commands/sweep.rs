//! `pressfed sweep`: the same stand at many points, one row a point.
//!
//! Rows go straight into a file, so that memory does not grow with their number and a sweep
//! that was stopped goes on where it stood.

use super::input::Input;
use super::{Failure, Success, beside, gather};
use crate::args::SweepArgs;
use crate::export::sweep_table::{self, Manifest};
use crate::export::whole;
use crate::interrupt::at_interrupt;
use crate::terminal::patience::with_patience;
use crate::terminal::screen;
use scenarios::studies::parallel::in_order;
use scenarios::studies::sweep::{Axis, Points, Row, Sweep, shard};
use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Points beyond which no sweep would end.
const MOST_POINTS: u64 = 1_000_000_000;

/// Sweeps a stand file.
///
/// # Errors
/// If the stand or an axis has errors, the folder holds another sweep, or no point gave a whole
/// run.
pub fn run(args: &SweepArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(false)?;
    let mut sweep = Sweep::new(&stand, points(args)?).map_err(Failure::input)?;
    if !args.figure.is_empty() {
        let named = args.figure.iter();
        let named = named.map(|name| super::sensitivity::named(&sweep.figures, name));
        sweep.figures = named.collect::<Result<_, _>>()?;
    }
    let folder = args.output.clone();
    let folder = folder.unwrap_or_else(|| beside(&args.stand, "sweep"));
    let manifest = Manifest::of(&stand, &sweep);
    claim(&folder, &manifest)?;
    let (part, of) = args.shard.unwrap_or((1, 1));
    let indices = shard(sweep.points.count(), part, of);
    let place = Place::of(&folder, part, of);
    let mut all_failed = false;
    if place.finished.exists() {
        screen::say(&format!("{} is complete already", place.finished.display()));
    } else {
        all_failed = tell(&place.fill(&sweep, indices)?);
    }
    #[cfg(feature = "parquet")]
    if args.parquet {
        crate::export::parquet::write_beside(&place.finished, &manifest)?;
    }
    if of == 1 {
        gather::draw(&folder, &manifest, &stand.display)?;
    } else {
        let folder = folder.display();
        screen::say(&format!(
            "when all {of} shards are there: pressfed gather {} {folder}",
            args.stand.display()
        ));
    }
    Ok(match all_failed {
        true => Success::Broken,
        false => Success::Done,
    })
}

/// What came of the points that were run just now.
#[derive(Default)]
struct Ran {
    points: u64,
    failed: u64,
    /// Index and reason of the first.
    first: Option<(u64, String)>,
}

impl Ran {
    fn count(&mut self, row: &Row) {
        self.points += 1;
        if let Some(reason) = &row.failure {
            self.failed += 1;
            self.first
                .get_or_insert_with(|| (row.index, reason.clone()));
        }
    }
}

/// Tells of points without a whole run; whether there is no other.
fn tell(ran: &Ran) -> bool {
    if let Some((index, reason)) = &ran.first {
        let Ran { points, failed, .. } = ran;
        screen::say(&format!(
            "{failed} of {points} points gave no whole run, as their last column says; the first is \
             {index}: {reason}"
        ));
    }
    ran.points > 0 && ran.failed == ran.points
}

fn points(args: &SweepArgs) -> Result<Points, Failure> {
    let read = |(path, text): &(String, String)| Axis::read(path, text);
    let axes = args.vary.iter().map(read).collect::<Result<Vec<_>, _>>();
    let points = Points {
        axes: axes.map_err(|e| Failure::input(e.to_string()))?,
        spread: args.points.unwrap_or(1),
        drawn: args.draw,
        seed: args.seed,
    };
    if points.axes.is_empty() && !points.drawn {
        let message = "nothing varies; add --vary 'bottle.supply.volume=5 L..50 L:10', or --draw";
        return Err(Failure::input(message));
    }
    if points.count() > MOST_POINTS {
        let message = format!("more than {MOST_POINTS} points; give fewer steps");
        return Err(Failure::input(message));
    }
    if points.has_spread() != args.points.is_some() {
        let message = "--points goes with --draw, or with --vary PATH=LOW..HIGH without a number of \
                       steps; give both or neither";
        return Err(Failure::input(message));
    }
    Ok(points)
}

/// Makes the folder the sweep's own, unless it is another's.
fn claim(folder: &Path, manifest: &Manifest) -> Result<(), Failure> {
    whole::make_folder(folder)?;
    let path = folder.join(sweep_table::MANIFEST);
    let text = manifest.as_json();
    match fs::read_to_string(&path) {
        Ok(found) if found == text => Ok(()),
        Ok(_) => Err(Failure::input(format!(
            "{} holds another sweep; choose another folder with -o, or remove it",
            folder.display()
        ))),
        Err(_) => Ok(whole::write(&path, text.as_bytes())?),
    }
}

/// The files of a shard.
struct Place {
    unfinished: PathBuf,
    finished: PathBuf,
}

impl Place {
    fn of(folder: &Path, part: u64, of: u64) -> Self {
        let name = sweep_table::file_name(part, of);
        Self {
            unfinished: folder.join(format!("unfinished-{name}")),
            finished: folder.join(name),
        }
    }

    /// Runs what is still to be run.
    fn fill(&self, sweep: &Sweep, indices: Range<u64>) -> Result<Ran, Failure> {
        let fault = |e: std::io::Error| {
            let path = self.unfinished.display();
            Failure::input(format!(
                "cannot write {path}: {e}; choose another place with -o"
            ))
        };
        let (mut file, done) = self.open(sweep).map_err(fault)?;
        let start = (indices.start + done).min(indices.end);
        if done > 0 {
            screen::say(&format!(
                "goes on behind {done} points that are there already"
            ));
        }
        let left = start..indices.end;
        let count = left.end - left.start;
        let begun = self.unfinished.display().to_string();
        at_interrupt(move || {
            format!("the points so far stand in {begun}; the same command goes on behind them")
        });
        let mut ran = Ran::default();
        with_patience("sweeping", count, |done| {
            let one = || done.one_more();
            in_order(
                left,
                &one,
                |i| sweep.row(i),
                |_, row| {
                    ran.count(&row);
                    file.write_all(&sweep_table::row(&row))
                },
            )
        })
        .map_err(fault)?;
        file.sync_all().map_err(fault)?;
        fs::rename(&self.unfinished, &self.finished).map_err(fault)?;
        Ok(ran)
    }

    /// The file with its heading and whole rows alone, and how many rows it has.
    fn open(&self, sweep: &Sweep) -> std::io::Result<(File, u64)> {
        let header = sweep_table::header(sweep);
        let mut file = OpenOptions::new()
            .read(true)
            .append(true)
            .create(true)
            .open(&self.unfinished)?;
        let (length, rows) = sweep_table::whole_rows(&mut file, &header)?;
        file.set_len(length)?;
        if length == 0 {
            file.write_all(&header)?;
        }
        Ok((file, rows))
    }
}
