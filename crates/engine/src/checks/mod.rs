//! The rules R01 to R63: each is one question asked of a design that has been worked through.
//!
//! One rule is two files side by side: `r14_no_fuse_at_battery.rs` judges, and the `.md` of the same
//! name is at once the page an owner reads and the case that the tests run. [`registry`] lists them.

pub mod context;
mod logged;
pub mod registry;
pub mod resolve;
pub mod sources;
pub mod supply;
pub mod things;
pub mod walk;

pub mod r01_take_off_at_one_end;
mod r02_unequal_links;
mod r03_mixed_blocks;
mod r04_joining_at_unequal_charge;
mod r05_too_many_strings;
mod r06_wrong_volts_at_a_gate;
mod r07_closed_ring;
mod r08_lead_too_short;
mod r09_wrong_lug_hole;
mod r10_washer_under_a_lug;
mod r11_too_many_lugs;
mod r12_hand_tight;
mod r13_tapped_bank;
mod r14_no_fuse_at_battery;
mod r15_fuse_too_large;
mod r16_interrupt_rating_too_low;
mod r17_strings_without_fuses;
mod r18_wrong_voltage_or_kind;
mod r19_cable_too_thin;
mod r20_voltage_drop;
mod r21_no_isolator;
mod r22_breakaway_through_a_switch;
mod r23_ball_load_over_a_rating;
mod r24_ball_load_out_of_band;
mod r25_over_plate;
mod r26_box_does_not_fit;
mod r27_not_held_down;
mod r28_screws_into_thin_tube;
mod r29_no_venting;
mod r30_spark_or_fuel;
mod r31_bare_posts;
mod r32_absorption_too_low;
mod r33_charger_too_small_or_big;
mod r34_never_full;
mod r35_panel_volts;
mod r36_panel_before_battery;
mod r37_tow_line;
mod r38_lfp_on_old_charging;
mod r39_surge_drags_volts;
mod r40_two_sources_meet;
mod r41_shunt_bypassed;
mod r42_earth_chassis_negative;
mod r43_flat_in_storage;
mod r44_frozen_battery;
mod r45_watering;
mod r46_hydrometer_misread;
mod r47_cell_spread;
mod r48_equalise_hazards;
mod r49_worn_out;
mod r50_judged_too_early;
mod r51_ratings_muddled;
mod r52_high_rate;
mod r53_heavy_lift;
mod r54_tool_missing;
mod r55_generator_too_close;
mod r56_alarm_without_power;
mod r57_panel_too_high_for_pwm;
mod r58_sources_fool_each_other;
mod r59_bought_twice;
mod r60_papers;
mod r61_neutral_earth_bonds;
mod r62_charging_loop;
mod r63_monster_loads;

use crate::finding::Finding;
use context::Context;

/// The place of the rule that writes the whole build down to judge it. It takes about as long as all the
/// others, and is asked beside them.
const WRITTEN_WORK: usize = 53;

/// Asks every rule of the list; what holds most comes first, then by code and path.
#[must_use]
pub fn run(cx: &Context<'_>) -> Vec<Finding> {
    let ask = |alone: bool| -> Vec<Finding> {
        let rules = registry::RULES.iter().enumerate();
        let asked = rules.filter(|(place, _)| (*place == WRITTEN_WORK) == alone);
        asked.flat_map(|(_, rule)| registry::ask(cx, rule)).collect()
    };
    let mut findings = std::thread::scope(|scope| {
        let builder = std::thread::Builder::new();
        // Where no thread can be had, one asks after the other.
        let begun = builder.spawn_scoped(scope, || ask(true));
        let mut findings = ask(false);
        findings.extend(match begun {
            Ok(begun) => begun.join().unwrap_or_else(|bug| std::panic::resume_unwind(bug)),
            Err(_) => ask(true),
        });
        findings
    });
    findings.sort_by(|a, b| {
        (a.severity, a.code, &a.path, &a.says).cmp(&(b.severity, b.code, &b.path, &b.says))
    });
    findings
}
