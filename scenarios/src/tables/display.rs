//! `[display]`: the units of tables and plots.

use crate::read::TableReader;
use shared::quantity::{Dimension, Display};

const KEYS: [(&str, Dimension); 13] = [
    ("pressure", Dimension::Pressure),
    ("pressure_difference", Dimension::PressureDifference),
    ("temperature", Dimension::Temperature),
    ("temperature_difference", Dimension::TemperatureDifference),
    ("mass", Dimension::Mass),
    ("mass_flow", Dimension::MassFlow),
    ("volume", Dimension::Volume),
    ("volume_flow", Dimension::VolumeFlow),
    ("gas_flow", Dimension::StandardFlow),
    ("length", Dimension::Length),
    ("time", Dimension::Time),
    ("force", Dimension::Force),
    ("energy", Dimension::Energy),
];

/// Reads the table.
pub fn read(reader: &mut TableReader<'_>, ambient_pa: f64) -> Display {
    let mut display = Display::new(ambient_pa);
    for (key, dimension) in KEYS {
        reader.describe_unit(key, dimension);
        let Some((node, text)) = reader.text(key) else {
            continue;
        };
        if let Err(fault) = display.show(dimension, text) {
            let diagnostic = fault.diagnostic(&node.span_of(&fault.at));
            reader.context.report(diagnostic);
        }
    }
    display
}

#[cfg(test)]
mod tests {
    use super::KEYS;

    #[test]
    fn the_file_to_begin_with_shows_every_key_and_each_can_be_used() {
        let text = crate::new_file();
        let (_, display) = text.split_once("[display]").expect("it has the table");
        let (display, _) = display.split_once("\n[").expect("others follow");
        let keys = display.lines().filter_map(|line| {
            let (key, _) = line.trim_start_matches("# ").split_once(" = ")?;
            Some(key)
        });
        let mut shown: Vec<&str> = keys.collect();
        let mut known: Vec<&str> = KEYS.iter().map(|k| k.0).collect();
        shown.sort_unstable();
        known.sort_unstable();
        assert_eq!(shown, known);
        let used = text.replace(display, &display.replace("\n# ", "\n"));
        let stand = crate::load(&used).expect("each line is right when it is uncommented");
        let plain = crate::load(text).expect("the file is right");
        assert_eq!(stand.display.unit(KEYS[1].1), plain.display.unit(KEYS[1].1));
    }
}
