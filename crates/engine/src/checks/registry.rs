//! The list of rules, and asking them all.
//!
//! To add a rule R99 "name": write `r99_name.rs` with
//! `pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError>` and `r99_name.md` in the
//! form of the other pages, name the module in `mod.rs`, put one `rule(...)` line into [`RULES`] in
//! the order of the codes, and take 99 out of [`NOT_THERE_YET`]. `said` in the check carries no code,
//! gate or stage: they are filled in here. The page is run as a test by `design_file/tests/rules.rs`.

use super::context::{CheckError, Context, Said};
use super::{
    r01_take_off_at_one_end as r01, r02_unequal_links as r02, r03_mixed_blocks as r03,
    r04_joining_at_unequal_charge as r04, r05_too_many_strings as r05,
    r06_wrong_volts_at_a_gate as r06, r07_closed_ring as r07, r08_lead_too_short as r08,
    r09_wrong_lug_hole as r09, r10_washer_under_a_lug as r10, r11_too_many_lugs as r11,
    r12_hand_tight as r12, r13_tapped_bank as r13, r14_no_fuse_at_battery as r14,
    r15_fuse_too_large as r15, r16_interrupt_rating_too_low as r16,
    r17_strings_without_fuses as r17, r18_wrong_voltage_or_kind as r18, r19_cable_too_thin as r19,
    r20_voltage_drop as r20, r21_no_isolator as r21, r22_breakaway_through_a_switch as r22,
    r23_ball_load_over_a_rating as r23, r24_ball_load_out_of_band as r24, r25_over_plate as r25,
    r26_box_does_not_fit as r26, r27_not_held_down as r27, r28_screws_into_thin_tube as r28,
    r29_no_venting as r29, r30_spark_or_fuel as r30, r31_bare_posts as r31,
    r32_absorption_too_low as r32, r33_charger_too_small_or_big as r33, r34_never_full as r34,
    r35_panel_volts as r35, r36_panel_before_battery as r36, r37_tow_line as r37,
    r38_lfp_on_old_charging as r38, r39_surge_drags_volts as r39, r40_two_sources_meet as r40,
    r41_shunt_bypassed as r41, r42_earth_chassis_negative as r42, r43_flat_in_storage as r43,
    r44_frozen_battery as r44, r45_watering as r45, r46_hydrometer_misread as r46,
    r47_cell_spread as r47, r48_equalise_hazards as r48, r49_worn_out as r49,
    r50_judged_too_early as r50, r51_ratings_muddled as r51, r52_high_rate as r52,
    r53_heavy_lift as r53, r54_tool_missing as r54, r55_generator_too_close as r55,
    r56_alarm_without_power as r56, r57_panel_too_high_for_pwm as r57,
    r58_sources_fool_each_other as r58, r59_bought_twice as r59, r60_papers as r60,
    r61_neutral_earth_bonds as r61, r62_charging_loop as r62, r63_monster_loads as r63,
};
use crate::cite::Cite;
use crate::finding::{Code, Finding, Gate, Severity};

/// One rule.
pub struct Rule {
    /// Its code; it never changes meaning and is never reused.
    pub code: Code,
    /// Its name.
    pub name: &'static str,
    /// The page an owner reads, which is also its test.
    pub page: &'static str,
    /// The gates its STOP findings hold shut; empty means every gate.
    pub gates: &'static [Gate],
    /// Asks it.
    pub check: fn(&Context<'_>) -> Result<Vec<Said>, CheckError>,
}

/// Every gate.
const ALL: &[Gate] = &[];

/// Towing only.
const TOW: &[Gate] = &[Gate::Tow];

/// Moving off, on the road or on the water.
const MOVE: &[Gate] = &[Gate::Tow, Gate::Sail];

/// Buying only.
const BUY: &[Gate] = &[Gate::Buy];

/// Charging only.
const CHARGE: &[Gate] = &[Gate::Charge];

/// What makes mains parts live.
const LIVE: &[Gate] = &[Gate::Energise, Gate::Charge];

/// What puts people aboard or on the road.
const ABOARD: &[Gate] = &[Gate::Energise, Gate::Tow, Gate::Sail];

macro_rules! rules {
    ($($code:literal $name:literal $module:ident $file:literal $gates:ident;)+) => {
        &[$(Rule {
            code: Code($code),
            name: $name,
            page: include_str!($file),
            gates: $gates,
            check: $module::check,
        }),+]
    };
}

/// Every rule that is there, in the order of the codes.
pub static RULES: &[Rule] = rules! {
    1 "Take-off at one end" r01 "r01_take_off_at_one_end.md" ALL;
    2 "Unequal links" r02 "r02_unequal_links.md" ALL;
    3 "Mixed blocks" r03 "r03_mixed_blocks.md" ALL;
    4 "Joining at unequal charge" r04 "r04_joining_at_unequal_charge.md" ALL;
    5 "Too many strings" r05 "r05_too_many_strings.md" ALL;
    6 "Wrong volts at a gate" r06 "r06_wrong_volts_at_a_gate.md" ALL;
    7 "Closed ring" r07 "r07_closed_ring.md" ALL;
    8 "Lead too short" r08 "r08_lead_too_short.md" BUY;
    9 "Wrong lug hole" r09 "r09_wrong_lug_hole.md" ALL;
    10 "Washer under a lug" r10 "r10_washer_under_a_lug.md" ALL;
    11 "Too many lugs on one post" r11 "r11_too_many_lugs.md" ALL;
    12 "Hand-tight posts" r12 "r12_hand_tight.md" ALL;
    13 "Tapped bank" r13 "r13_tapped_bank.md" ALL;
    14 "No fuse at the battery" r14 "r14_no_fuse_at_battery.md" ALL;
    15 "Fuse too large for the cable" r15 "r15_fuse_too_large.md" ALL;
    16 "Interrupt rating too low" r16 "r16_interrupt_rating_too_low.md" ALL;
    17 "Strings without fuses" r17 "r17_strings_without_fuses.md" ALL;
    18 "Wrong voltage or kind of device" r18 "r18_wrong_voltage_or_kind.md" ALL;
    19 "Cable too thin" r19 "r19_cable_too_thin.md" ALL;
    20 "Voltage drop" r20 "r20_voltage_drop.md" ALL;
    21 "No reachable isolator" r21 "r21_no_isolator.md" ALL;
    22 "Breakaway feed through a switch" r22 "r22_breakaway_through_a_switch.md" TOW;
    23 "Ball load over a rating" r23 "r23_ball_load_over_a_rating.md" TOW;
    24 "Ball load out of band" r24 "r24_ball_load_out_of_band.md" TOW;
    25 "Gross, axle or payload over plate" r25 "r25_over_plate.md" TOW;
    26 "Box does not fit" r26 "r26_box_does_not_fit.md" BUY;
    27 "Not held down" r27 "r27_not_held_down.md" MOVE;
    28 "Screws into thin tube" r28 "r28_screws_into_thin_tube.md" MOVE;
    29 "No venting, or open to the living space" r29 "r29_no_venting.md" ALL;
    30 "Spark or fuel beside batteries" r30 "r30_spark_or_fuel.md" ALL;
    31 "Bare posts" r31 "r31_bare_posts.md" ALL;
    32 "Absorption too low" r32 "r32_absorption_too_low.md" ALL;
    33 "Charger too small or too big" r33 "r33_charger_too_small_or_big.md" ALL;
    34 "Never full" r34 "r34_never_full.md" ALL;
    35 "Panel volts in cold and heat" r35 "r35_panel_volts.md" ALL;
    36 "Panel before battery" r36 "r36_panel_before_battery.md" LIVE;
    37 "Tow line too thin" r37 "r37_tow_line.md" ALL;
    38 "LFP on old charging" r38 "r38_lfp_on_old_charging.md" CHARGE;
    39 "Surge drags volts below cut-off" r39 "r39_surge_drags_volts.md" ALL;
    40 "Two sources can meet" r40 "r40_two_sources_meet.md" LIVE;
    41 "Shunt bypassed" r41 "r41_shunt_bypassed.md" ALL;
    42 "Earth, chassis and negative muddled" r42 "r42_earth_chassis_negative.md" ALL;
    43 "Flat in storage" r43 "r43_flat_in_storage.md" ALL;
    44 "Frozen battery" r44 "r44_frozen_battery.md" CHARGE;
    45 "Watering neglected or wrong" r45 "r45_watering.md" ALL;
    46 "Hydrometer misread" r46 "r46_hydrometer_misread.md" ALL;
    47 "Cell spread" r47 "r47_cell_spread.md" ALL;
    48 "Equalise hazards" r48 "r48_equalise_hazards.md" CHARGE;
    49 "Worn out, not noticed" r49 "r49_worn_out.md" ALL;
    50 "Judged too early" r50 "r50_judged_too_early.md" ALL;
    51 "Ratings muddled" r51 "r51_ratings_muddled.md" ALL;
    52 "High-rate loss ignored" r52 "r52_high_rate.md" ALL;
    53 "Heavy lift" r53 "r53_heavy_lift.md" ALL;
    54 "Tool missing on the day" r54 "r54_tool_missing.md" ALL;
    55 "Generator too close" r55 "r55_generator_too_close.md" CHARGE;
    56 "Gas or CO alarm without power" r56 "r56_alarm_without_power.md" ABOARD;
    57 "Panel too high for a PWM controller" r57 "r57_panel_too_high_for_pwm.md" ALL;
    58 "Sources fool each other" r58 "r58_sources_fool_each_other.md" ALL;
    59 "Bought twice" r59 "r59_bought_twice.md" ALL;
    60 "Papers" r60 "r60_papers.md" ALL;
    61 "Neutral-earth bond count" r61 "r61_neutral_earth_bonds.md" LIVE;
    62 "Charging loop" r62 "r62_charging_loop.md" ALL;
    63 "Monster loads on the inverter" r63 "r63_monster_loads.md" ALL;
};

/// Codes that are promised and not there yet.
pub static NOT_THERE_YET: &[u8] = &[];

/// The largest code of the list.
pub const LAST: u8 = 63;

/// A rule by its code.
#[must_use]
pub fn rule(code: Code) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.code == code)
}

/// Asks one rule.
#[must_use]
pub fn ask(cx: &Context<'_>, rule: &Rule) -> Vec<Finding> {
    let said = (rule.check)(cx).unwrap_or_else(|error| vec![unasked(&error)]);
    let stage = cx.study.design.stages.get(cx.study.stage).map(|s| s.name.clone());
    said.into_iter().map(|said| filled_in(said, rule, stage.clone())).collect()
}

fn filled_in(said: Said, rule: &Rule, stage: Option<String>) -> Finding {
    let gates = said.gates.unwrap_or(rule.gates);
    let blocks = match (said.severity, gates) {
        (Severity::Fix | Severity::Note, _) => Vec::new(),
        (Severity::Stop, []) => Gate::ALL.to_vec(),
        (Severity::Stop, some) => some.to_vec(),
    };
    Finding {
        code: rule.code,
        severity: said.severity,
        blocks,
        stage,
        says: said.says,
        remedy: said.remedy,
        why: said.why.to_owned(),
        path: said.path,
        part: said.part,
        sources: said.sources,
    }
}

/// A rule that cannot be asked has not passed.
fn unasked(error: &CheckError) -> Said {
    Said {
        severity: Severity::Stop,
        path: "bank".to_owned(),
        part: "the whole rig".to_owned(),
        says: format!("This rule could not be judged. {error}"),
        remedy: "Mend the part that is named, then check again.".to_owned(),
        why: "What was not judged has not passed.",
        sources: vec![Cite::practice("a rule that cannot be asked holds its gates")],
        gates: None,
    }
}

#[cfg(test)]
mod tests {
    use super::{LAST, NOT_THERE_YET, RULES, rule};
    use crate::finding::{Code, Gate};

    #[test]
    fn every_code_has_a_page_or_is_named_as_missing() {
        for code in 1..=LAST {
            let there = rule(Code(code)).is_some();
            let missing = NOT_THERE_YET.contains(&code);
            assert!(there != missing, "{} is either there or not", Code(code));
        }
        assert!(RULES.is_sorted_by(|a, b| a.code < b.code), "in order, no code twice");
    }

    #[test]
    fn every_page_has_its_parts() {
        for rule in RULES {
            let title = format!("# {} {}\n", rule.code, rule.name);
            assert!(rule.page.starts_with(&title), "{} starts with its title", rule.code);
            for part in [
                "\n## What it looks at\n",
                "\n## Why\n",
                "\n## What to do\n",
                "\n## Severity and gates\n",
                "\n## Sources\n",
                "\n## Example\n",
                "\n```toml fails\n",
                "\n```toml mended\n",
            ] {
                assert!(rule.page.contains(part), "{} lacks {part}", rule.code);
            }
            let gates = [NO_STOP.to_owned(), gates_line(rule.gates)];
            let named = gates.iter().filter(|g| rule.page.contains(g.as_str())).count();
            assert_eq!(named, 1, "{} says either its gates or that it has no STOP", rule.code);
        }
    }

    /// What the page of a rule says that never stops anything.
    const NO_STOP: &str = "This rule has no STOP.";

    /// The sentence by which a page names the gates of its STOP findings.
    fn gates_line(gates: &[Gate]) -> String {
        match gates {
            [] => "A STOP holds every gate.".to_owned(),
            some => {
                let words: Vec<&str> = some.iter().map(|g| g.word()).collect();
                format!("A STOP holds the gate {}.", words.join(" and "))
            }
        }
    }
}
