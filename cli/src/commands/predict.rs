//! `pressfed predict`: one run, its figures on the screen, its files in a folder.

use super::input::Input;
use super::{Failure, Success, watch};
use crate::args::{IntegratorName, PredictArgs, RunArgs};
use crate::export::{csv, earlier, json, whole};
use crate::interrupt::{at_interrupt, keep_what_runs};
use crate::page::Told;
use crate::page::report::{self as pages, Drawn};
use crate::plot::{Picture, paint};
use crate::terminal::patience::{Done, with_patience};
use crate::terminal::report::report;
use crate::terminal::screen::{self, Screen};
use crate::terminal::sketch::sketch;
use crate::terminal::{gases, losses};
use scenarios::CheckedStand;
use scenarios::predict::{Drawing, PredictOptions, Prediction, input_hash};
use scenarios::studies::loss_budget::{Budget, Cause, NoBudget, loss_budgets};
use scenarios::studies::other_gas::{Refusal, other_gas};
use scenarios::studies::percentile::FEWEST_DRAWS;
use scenarios::studies::{Bands, StandModel, bands};
use shared::quantity::Dimension;
use sim_core::interrupt::is_asked;
use sim_core::outcome::Integrator;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::Instant;

/// Predicts a stand file; again and again, if it is watched.
///
/// # Errors
/// If the stand has errors or the folder cannot be written.
pub fn run(args: &PredictArgs) -> Result<Success, Failure> {
    if args.watch {
        let page = folder_of(args).join("report.html");
        at_interrupt(move || put_to_rest(&page));
        watch::run(&args.stand, || once(args))
    } else {
        once(args)
    }
}

/// The report of a stand that is no longer watched loads itself no more.
fn put_to_rest(page: &Path) -> String {
    let shown = page.display();
    let Ok(text) = std::fs::read_to_string(page) else {
        return format!("there is no {shown} yet");
    };
    match whole::write(page, pages::at_rest(&text).as_bytes()) {
        Ok(()) => format!("{shown} is the last run's and no longer loads itself anew"),
        Err(fault) => fault.to_string(),
    }
}

fn folder_of(args: &PredictArgs) -> PathBuf {
    let output = args.output.clone();
    output.unwrap_or_else(|| folder_beside(&args.stand))
}

fn once(args: &PredictArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let folder = folder_of(args);
    let Some(gas) = &args.pushed_by else {
        return carry_out(&input, &folder, &args.run, 0, args.watch);
    };
    let done = carry_out(&input, &folder, &args.run, 0, args.watch)?;
    compare_gases(&input, &folder, &args.run, gas)?;
    Ok(done)
}

/// Runs the stand with another gas; writes and tells what both need.
fn compare_gases(input: &Input, folder: &Path, args: &RunArgs, gas: &str) -> Result<(), Failure> {
    let stand = input.silently_checked()?;
    let options = options(args);
    let found = with_patience("running both gases", 2, |done| {
        let as_it_is = scenarios::predict(&stand, &options);
        done.one_more();
        other_gas(&stand, &as_it_is, gas, &options)
    });
    let found = found.map_err(|refusal| match refusal {
        Refusal::NoOneGas => Failure::input(
            "--pushed-by replaces the gas of the bottles, and this stand has bottles of several gases or none; \
             use --set on the gas of each of them",
        ),
        Refusal::Errors(overrides, errors) => {
            Input {
                path: input.path.clone(),
                text: input.text.clone(),
                overrides: &overrides,
            }
            .tell(&errors);
            Failure::told()
        }
    })?;
    whole::write(&folder.join("other_gas.csv"), &csv::gases(&found))?;
    if !args.json {
        let text = gases::report(&found, &stand.display, Screen::stdout());
        screen::print(&format!("\n{text}"));
    }
    Ok(())
}

fn options(args: &RunArgs) -> PredictOptions {
    PredictOptions {
        tolerance: args.tolerance,
        integrator: match args.integrator {
            IntegratorName::Rodas5p => Integrator::Rodas5p,
            IntegratorName::Dopri5 => Integrator::Dopri5,
        },
    }
}

/// `bench.toml` leaves its files in `bench-out`.
fn folder_beside(stand: &Path) -> PathBuf {
    super::beside(stand, "out")
}

/// Runs what was read, writes its files, shows its figures. `draws` is how often the uncertain
/// values are drawn unless the arguments say so; an open page of a watched stand follows.
pub(super) fn carry_out(
    input: &Input,
    folder: &Path,
    args: &RunArgs,
    draws: usize,
    watched: bool,
) -> Result<Success, Failure> {
    let stand = input.checked(args.json)?;
    keep_what_runs();
    whole::make_folder(folder)?;
    let options = options(args);
    let started = Instant::now();
    let mut prediction = with_patience("simulating", 1, |_| scenarios::predict(&stand, &options));
    let simulated = started.elapsed();
    let draws = match is_asked() {
        true => 0,
        false => args.draws.unwrap_or(draws),
    };
    let drawn = draw(&stand, &prediction, draws, args.seed)?;
    let all_failed = drawn.as_ref().is_some_and(Bands::is_empty);
    let bands = drawn.filter(|bands| !bands.is_empty());
    hash_draws(&stand, &mut prediction, bands.as_ref());
    earlier::remove(folder)?;
    write_tables(&prediction, bands.as_ref(), folder)?;
    let told = Told {
        stand: &stand,
        prediction: &prediction,
        bands: bands.as_ref(),
    };
    let drawn = if args.no_plots {
        Vec::new()
    } else {
        write_plots(&told, folder, args.drawn_at)?
    };
    let losses = (args.why && !is_asked()).then(|| find_losses(&stand));
    let page = pages::report(&told, &drawn, losses.as_ref(), watched);
    whole::write(&folder.join("report.html"), page.as_bytes())?;
    screen::print(&if args.json {
        json::summary(&prediction, bands.as_ref())
    } else {
        report(&prediction, bands.as_ref(), &stand, Screen::stdout())
    });
    if args.sketch && !args.json {
        let sketch = sketch(&prediction, &stand.display, Screen::stdout());
        screen::print(&sketch.map_or(String::new(), |text| format!("\n{text}")));
    }
    if let Some(losses) = losses {
        tell_losses(&losses, &stand, args, folder)?;
    }
    screen::say(&format!(
        "\nsimulated {} of stand time in {:.1} ms; files in {}, all in {:.2} s",
        stand.display.text(Dimension::Time, reached_s(&prediction)),
        1e3 * simulated.as_secs_f64(),
        folder.display(),
        started.elapsed().as_secs_f64(),
    ));
    Ok(if prediction.is_broken() || all_failed {
        Success::Broken
    } else {
        Success::Done
    })
}

/// To where the run came.
fn reached_s(prediction: &Prediction) -> f64 {
    let failure = prediction.outcome.failure.as_ref();
    failure.map_or(prediction.options.until_s, |failure| failure.time_s)
}

/// Counts the draws in the hash of the input, if there are any.
pub(super) fn hash_draws(stand: &CheckedStand, prediction: &mut Prediction, bands: Option<&Bands>) {
    if let Some(&Bands { draws, seed, .. }) = bands {
        let drawing = Some(Drawing { draws, seed });
        prediction.input_hash =
            input_hash(&stand.text, &stand.overrides, &prediction.options, drawing);
    }
}

/// The bands of so many draws; none if nothing is drawn, or nothing is uncertain.
pub(super) fn draw(
    stand: &CheckedStand,
    prediction: &Prediction,
    draws: usize,
    seed: u32,
) -> Result<Option<Bands>, Failure> {
    let model = StandModel::new(stand, prediction.options);
    if draws == 0 || model.factors.is_empty() {
        return Ok(None);
    }
    let bands = with_patience("drawing uncertain values", draws as u64, |done| {
        bands(&model, prediction.into(), draws, seed, &|| done.one_more())
    });
    let bands = bands.map_err(|e| Failure::input(e.to_string()))?;
    if bands.draws < draws {
        let (done, least) = (bands.draws, FEWEST_DRAWS);
        screen::say(&format!(
            "{done} of {draws} draws were done when they were interrupted"
        ));
        if done < least {
            screen::say(&format!("no bands: they take at least {least} draws"));
            return Ok(None);
        }
    }
    if let (true, Some((_, reason))) = (bands.is_empty(), bands.failures.first()) {
        screen::say(&format!(
            "no bands: none of {draws} draws gave a whole run (the first: {reason}); narrow the \
             uncertainties of the stand"
        ));
    }
    Ok(Some(bands))
}

fn find_losses(stand: &CheckedStand) -> Result<Vec<Budget>, NoBudget> {
    with_patience("taking causes out", 1 << Cause::ALL.len(), |done| {
        loss_budgets(stand, &|| done.one_more())
    })
}

/// Writes where the pressure goes; tells it, unless standard output is for machines.
fn tell_losses(
    budgets: &Result<Vec<Budget>, NoBudget>,
    stand: &CheckedStand,
    args: &RunArgs,
    folder: &Path,
) -> Result<(), Failure> {
    let rows = budgets.as_deref().unwrap_or_default();
    whole::write(&folder.join("loss_budget.csv"), &csv::losses(rows))?;
    if !args.json {
        let text = losses::report(budgets, &stand.display, Screen::stdout());
        screen::print(&format!("\n{text}"));
    }
    Ok(())
}

fn write_tables(
    prediction: &Prediction,
    bands: Option<&Bands>,
    folder: &Path,
) -> Result<(), Failure> {
    let outcome = &prediction.outcome;
    whole::write(&folder.join("history.csv"), &csv::history(&outcome.history))?;
    whole::write(&folder.join("events.csv"), &csv::events(&outcome.events))?;
    whole::write(
        &folder.join("summary.json"),
        json::summary(prediction, bands).as_bytes(),
    )?;
    if let Some(bands) = bands {
        let write = |name: &str, table: &[u8]| whole::write(&folder.join(name), table);
        write("history_bands.csv", &csv::bands(&bands.history))?;
        write("bands_aligned.csv", &csv::aligned(&bands.events))?;
    }
    Ok(())
}

/// Writes the plots; gives what the report shows.
fn write_plots(
    told: &Told<'_>,
    folder: &Path,
    drawn_at_s: Option<f64>,
) -> Result<Vec<Drawn>, Failure> {
    let pictures = pages::pictures(told, drawn_at_s);
    let drawn = pictures.iter().map(|picture| {
        let drawn = Drawn::of(picture).map_err(|e| undrawn(picture, &e))?;
        let path = folder.join(format!("{}.svg", picture.name));
        whole::write(&path, drawn.svg.as_bytes())?;
        Ok(drawn)
    });
    let drawn: Vec<Drawn> = drawn.collect::<Result<_, Failure>>()?;
    let count = pictures.len() as u64;
    with_patience("drawing", count, |done| {
        write_pictures(pictures, folder, done)
    })?;
    Ok(drawn)
}

fn undrawn(picture: &Picture, error: &paint::PaintError) -> Failure {
    Failure::input(format!("{} could not be drawn: {error}", picture.name))
}

/// Paints the pictures on all cores.
fn write_pictures(pictures: Vec<Picture>, folder: &Path, done: &Done) -> Result<(), Failure> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let left = Mutex::new(pictures);
    let work = || -> Result<(), Failure> {
        loop {
            let next = left.lock().ok().and_then(|mut pictures| pictures.pop());
            let Some(picture) = next else {
                return Ok(());
            };
            write_png(&picture, folder)?;
            done.one_more();
        }
    };
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(work)).collect();
        let results = workers.into_iter().map(|w| w.join());
        results.into_iter().try_for_each(|r| {
            r.unwrap_or_else(|_| Err(Failure::input("a plot could not be drawn")))
        })
    })
}

pub(super) fn write_picture(picture: &Picture, folder: &Path) -> Result<(), Failure> {
    let path = folder.join(format!("{}.svg", picture.name));
    let svg = paint::to_svg(&picture.scene).map_err(|e| undrawn(picture, &e))?;
    whole::write(&path, svg.as_bytes())?;
    write_png(picture, folder)
}

fn write_png(picture: &Picture, folder: &Path) -> Result<(), Failure> {
    let png = folder.join(format!("{}.png", picture.name));
    whole::write_by(&png, |aside| {
        paint::write_png(&picture.scene, aside).map_err(|e| e.to_string())
    })?;
    Ok(())
}
