//! A stand that is predicted whenever its file is saved.

use crate::bench::{folder, interrupted, pressfed};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

/// Looks so often, a quarter of a second apart: no machine takes a minute for one run.
const LOOKS: usize = 240;

/// What a file holds once that is not `before`.
fn changed(path: &Path, before: Option<&str>) -> Option<String> {
    (0..LOOKS).find_map(|_| {
        sleep(Duration::from_millis(250));
        let now = fs::read_to_string(path).ok();
        now.filter(|now| Some(now.as_str()) != before)
    })
}

#[test]
fn a_watched_stand_is_predicted_again_when_it_is_saved_even_after_an_error() {
    let folder = folder("watched");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let stand = folder.join("bench.toml");
    let text = fs::read_to_string(&stand).expect("it is there");
    let mut watching = Command::new(env!("CARGO_BIN_EXE_pressfed"))
        .args([
            "predict",
            "bench.toml",
            "--watch",
            "--no-plots",
            "-o",
            "out",
        ])
        .current_dir(&folder)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    let summary = folder.join("out/summary.json");
    let first = changed(&summary, None);
    let save = |text: &str| fs::write(&stand, text).expect("it can be saved");
    save(&text.replace("\"50 L\"", "\"50\""));
    sleep(Duration::from_secs(1));
    let still_watching = watching.try_wait().expect("it can be asked").is_none();
    save(&text.replace("\"50 L\"", "\"60 L\""));
    let second = changed(&summary, first.as_deref());
    let page = fs::read_to_string(folder.join("out/report.html"));
    let (code, said) = interrupted(watching);
    assert_eq!(code, Some(130), "{said}");
    assert!(said.contains("no longer loads itself anew"), "{said}");
    let left = fs::read_to_string(folder.join("out/report.html")).expect("it is there");
    assert!(left.contains("<html") && !left.contains("http-equiv=\"refresh\""));
    assert!(first.is_some() && second.is_some() && still_watching);
    assert!(page.is_ok_and(|page| page.contains("http-equiv=\"refresh\"")));
}
