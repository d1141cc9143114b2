//! The usual cautions of a stand, by what it holds. Common practice, no source.

use scenarios::summary::{FUELS, holds};
use sim_core::network::{BranchKind, Network, VolumeKind};

const ALWAYS: &str =
    "Operate remotely. Prove vessels hydrostatically before gas. Inert gas asphyxiates.";
const REGULATED: &str = "Size relief for the failed-open regulator.";
const CRYOGENIC: &str = "Trap no cryogen between shut valves; it burns skin and embrittles steel.";
const LAST: &str = "Local codes, the authority having jurisdiction and licensed practice decide; this \
                    card only computes.";

/// What a fluid of this name asks for, as a gas or as a liquid.
const BY_FLUID: [(&[&str], &str); 4] = [
    (
        &["oxygen", "air"],
        "Keep oxygen clean and compatible; open its gas valves slowly.",
    ),
    (
        &["nitrous oxide"],
        "Nitrous oxide decomposes violently when heated or dirty.",
    ),
    (
        &["hydrogen peroxide 90 %"],
        "Peroxide decomposes on dirt and many metals: vent whatever holds it.",
    ),
    (
        &FUELS,
        "Keep air and ignition from fuel and its vapour; have the fire plan agreed.",
    ),
];

/// The cautions as one paragraph.
pub(super) fn cautions(network: &Network) -> String {
    let mut said = vec![ALWAYS];
    let is_regulator = |kind: &BranchKind| matches!(kind, BranchKind::Regulator(_));
    if network.branches.iter().any(|b| is_regulator(&b.kind)) {
        said.push(REGULATED);
    }
    let is_cryogenic =
        |kind: &VolumeKind| matches!(kind, VolumeKind::Tank(tank) if tank.cryogen.is_some());
    if network.volumes.iter().any(|v| is_cryogenic(&v.kind)) {
        said.push(CRYOGENIC);
    }
    let is_there = |fluid: &str| network.volumes.iter().any(|v| holds(network, v, fluid));
    let asked = BY_FLUID.into_iter();
    let asked = asked.filter(|(fluids, _)| fluids.iter().any(|fluid| is_there(fluid)));
    said.extend(asked.map(|(_, words)| words));
    said.push(LAST);
    said.join(" ")
}

#[cfg(test)]
mod tests {
    use super::cautions;

    fn said(name: &str) -> String {
        let ready = scenarios::ready_made().iter();
        let mut ready = ready.filter(|r| r.name == name);
        let text = ready.next().expect("there is such a stand").text;
        let stand = scenarios::load(text).expect("it has no errors");
        cautions(&stand.lower())
    }

    #[test]
    fn each_stand_has_those_of_its_fluids() {
        for (stand, oxygen, fuel, cryogen) in [
            ("regulated-water", false, false, false),
            ("lox-helium", true, false, true),
            ("methane-helium", false, true, true),
            ("ln2-cold-flow", false, false, true),
        ] {
            let said = said(stand);
            assert_eq!(said.contains("oxygen"), oxygen, "{stand}: {said}");
            assert_eq!(said.contains("fire plan"), fuel, "{stand}: {said}");
            assert_eq!(said.contains("cryogen"), cryogen, "{stand}: {said}");
            assert!(said.contains("failed-open"), "{stand}: {said}");
        }
    }
}
