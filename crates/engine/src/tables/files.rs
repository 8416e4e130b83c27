//! The text of every file of `data/` that the engine reads, fixed when the program is built.

/// The bibliography.
pub const SOURCES: &str = include_str!("../../../../data/sources.toml");

/// Every table: its path under `data/` and its text.
pub const FILES: &[(&str, &str)] = &[
    (
        "ampacity/cfr_33_183_425_t5.csv",
        include_str!("../../../../data/ampacity/cfr_33_183_425_t5.csv"),
    ),
    (
        "ampacity/cfr_33_183_425_t5_bundle.csv",
        include_str!("../../../../data/ampacity/cfr_33_183_425_t5_bundle.csv"),
    ),
    (
        "ampacity/cfr_33_183_425_t5_engine_space.csv",
        include_str!("../../../../data/ampacity/cfr_33_183_425_t5_engine_space.csv"),
    ),
    (
        "ampacity/faa_t11_9_bundle.csv",
        include_str!("../../../../data/ampacity/faa_t11_9_bundle.csv"),
    ),
    ("ampacity/iso_10133_2012.csv", include_str!("../../../../data/ampacity/iso_10133_2012.csv")),
    (
        "ampacity/iso_10133_2012_bundle.csv",
        include_str!("../../../../data/ampacity/iso_10133_2012_bundle.csv"),
    ),
    (
        "ampacity/iso_10133_2012_engine_space.csv",
        include_str!("../../../../data/ampacity/iso_10133_2012_engine_space.csv"),
    ),
    ("ampacity/nec_2014_310_16.csv", include_str!("../../../../data/ampacity/nec_2014_310_16.csv")),
    ("ampacity/nec_2014_bundle.csv", include_str!("../../../../data/ampacity/nec_2014_bundle.csv")),
    ("ampacity/nec_310_17.csv", include_str!("../../../../data/ampacity/nec_310_17.csv")),
    ("ampacity/nec_ambient_30c.csv", include_str!("../../../../data/ampacity/nec_ambient_30c.csv")),
    ("ampacity/ul_1426_bundle.csv", include_str!("../../../../data/ampacity/ul_1426_bundle.csv")),
    ("battery/agm_cca.csv", include_str!("../../../../data/battery/agm_cca.csv")),
    ("battery/care_calendar.csv", include_str!("../../../../data/battery/care_calendar.csv")),
    (
        "battery/case_bci_recalled.csv",
        include_str!("../../../../data/battery/case_bci_recalled.csv"),
    ),
    ("battery/case_en_l.csv", include_str!("../../../../data/battery/case_en_l.csv")),
    (
        "battery/case_en_l_section.csv",
        include_str!("../../../../data/battery/case_en_l_section.csv"),
    ),
    ("battery/case_en_truck.csv", include_str!("../../../../data/battery/case_en_truck.csv")),
    ("battery/case_gc.csv", include_str!("../../../../data/battery/case_gc.csv")),
    ("battery/case_group_chart.csv", include_str!("../../../../data/battery/case_group_chart.csv")),
    ("battery/case_l16.csv", include_str!("../../../../data/battery/case_l16.csv")),
    ("battery/case_posts.csv", include_str!("../../../../data/battery/case_posts.csv")),
    ("battery/case_terminals.csv", include_str!("../../../../data/battery/case_terminals.csv")),
    ("battery/case_weight.csv", include_str!("../../../../data/battery/case_weight.csv")),
    ("battery/cranking_power.csv", include_str!("../../../../data/battery/cranking_power.csv")),
    ("battery/freezing.csv", include_str!("../../../../data/battery/freezing.csv")),
    (
        "battery/gravity_deep_cycle_1265.csv",
        include_str!("../../../../data/battery/gravity_deep_cycle_1265.csv"),
    ),
    (
        "battery/gravity_motive_1280.csv",
        include_str!("../../../../data/battery/gravity_motive_1280.csv"),
    ),
    (
        "battery/gravity_temperature.csv",
        include_str!("../../../../data/battery/gravity_temperature.csv"),
    ),
    (
        "battery/gravity_us_vehicle_1280.csv",
        include_str!("../../../../data/battery/gravity_us_vehicle_1280.csv"),
    ),
    (
        "battery/gravity_vehicle_1265.csv",
        include_str!("../../../../data/battery/gravity_vehicle_1265.csv"),
    ),
    (
        "battery/ieee_485_temperature.csv",
        include_str!("../../../../data/battery/ieee_485_temperature.csv"),
    ),
    (
        "battery/internal_resistance.csv",
        include_str!("../../../../data/battery/internal_resistance.csv"),
    ),
    (
        "battery/internal_resistance_lfp_pack.csv",
        include_str!("../../../../data/battery/internal_resistance_lfp_pack.csv"),
    ),
    ("battery/lfp_ocv.csv", include_str!("../../../../data/battery/lfp_ocv.csv")),
    ("battery/rate_choice.csv", include_str!("../../../../data/battery/rate_choice.csv")),
    ("battery/rate_gc2_225.csv", include_str!("../../../../data/battery/rate_gc2_225.csv")),
    ("battery/rate_gc8_170.csv", include_str!("../../../../data/battery/rate_gc8_170.csv")),
    ("battery/rate_generic_220.csv", include_str!("../../../../data/battery/rate_generic_220.csv")),
    ("battery/rest_agm_owner.csv", include_str!("../../../../data/battery/rest_agm_owner.csv")),
    ("battery/rest_agm_touring.csv", include_str!("../../../../data/battery/rest_agm_touring.csv")),
    ("battery/rest_agm_vehicle.csv", include_str!("../../../../data/battery/rest_agm_vehicle.csv")),
    ("battery/rest_choice.csv", include_str!("../../../../data/battery/rest_choice.csv")),
    (
        "battery/rest_flooded_controller.csv",
        include_str!("../../../../data/battery/rest_flooded_controller.csv"),
    ),
    (
        "battery/rest_flooded_rv_magazine.csv",
        include_str!("../../../../data/battery/rest_flooded_rv_magazine.csv"),
    ),
    (
        "battery/rest_flooded_trade.csv",
        include_str!("../../../../data/battery/rest_flooded_trade.csv"),
    ),
    ("battery/rest_lfp_chart.csv", include_str!("../../../../data/battery/rest_lfp_chart.csv")),
    ("battery/self_discharge.csv", include_str!("../../../../data/battery/self_discharge.csv")),
    (
        "battery/simplified_temperature.csv",
        include_str!("../../../../data/battery/simplified_temperature.csv"),
    ),
    (
        "battery/size_code_capacity.csv",
        include_str!("../../../../data/battery/size_code_capacity.csv"),
    ),
    ("charging/compensation.csv", include_str!("../../../../data/charging/compensation.csv")),
    ("charging/current.csv", include_str!("../../../../data/charging/current.csv")),
    ("charging/setpoint_choice.csv", include_str!("../../../../data/charging/setpoint_choice.csv")),
    (
        "charging/setpoints_battery_education_text.csv",
        include_str!("../../../../data/charging/setpoints_battery_education_text.csv"),
    ),
    (
        "charging/setpoints_charge_controller_default.csv",
        include_str!("../../../../data/charging/setpoints_charge_controller_default.csv"),
    ),
    (
        "charging/setpoints_practice.csv",
        include_str!("../../../../data/charging/setpoints_practice.csv"),
    ),
    (
        "charging/setpoints_pv_dealer_page.csv",
        include_str!("../../../../data/charging/setpoints_pv_dealer_page.csv"),
    ),
    (
        "charging/setpoints_trade_faq.csv",
        include_str!("../../../../data/charging/setpoints_trade_faq.csv"),
    ),
    ("charging/tail_current.csv", include_str!("../../../../data/charging/tail_current.csv")),
    ("climate/generator.csv", include_str!("../../../../data/climate/generator.csv")),
    ("climate/hour_noise.csv", include_str!("../../../../data/climate/hour_noise.csv")),
    ("climate/hour_shape.csv", include_str!("../../../../data/climate/hour_shape.csv")),
    ("climate/layers.csv", include_str!("../../../../data/climate/layers.csv")),
    ("climate/sky_formulas.csv", include_str!("../../../../data/climate/sky_formulas.csv")),
    (
        "conductor/awg_copper_weight.csv",
        include_str!("../../../../data/conductor/awg_copper_weight.csv"),
    ),
    ("conductor/awg_law.csv", include_str!("../../../../data/conductor/awg_law.csv")),
    (
        "conductor/awg_public_resistance.csv",
        include_str!("../../../../data/conductor/awg_public_resistance.csv"),
    ),
    (
        "conductor/bend_radius_cable_maker.csv",
        include_str!("../../../../data/conductor/bend_radius_cable_maker.csv"),
    ),
    (
        "conductor/faa_t11_9_tinned.csv",
        include_str!("../../../../data/conductor/faa_t11_9_tinned.csv"),
    ),
    (
        "conductor/flexible_cable_diameter.csv",
        include_str!("../../../../data/conductor/flexible_cable_diameter.csv"),
    ),
    (
        "conductor/iec_60228_class5.csv",
        include_str!("../../../../data/conductor/iec_60228_class5.csv"),
    ),
    (
        "conductor/nec_2008_ch9_t5_diameter.csv",
        include_str!("../../../../data/conductor/nec_2008_ch9_t5_diameter.csv"),
    ),
    (
        "conductor/nec_ch9_t8_circular_mils.csv",
        include_str!("../../../../data/conductor/nec_ch9_t8_circular_mils.csv"),
    ),
    (
        "conductor/nec_ch9_t8_stranded.csv",
        include_str!("../../../../data/conductor/nec_ch9_t8_stranded.csv"),
    ),
    ("conductor/sae_areas.csv", include_str!("../../../../data/conductor/sae_areas.csv")),
    (
        "conductor/sgt_cable_weight.csv",
        include_str!("../../../../data/conductor/sgt_cable_weight.csv"),
    ),
    ("enclosure/accelerations.csv", include_str!("../../../../data/enclosure/accelerations.csv")),
    ("enclosure/backing_plates.csv", include_str!("../../../../data/enclosure/backing_plates.csv")),
    ("enclosure/bolt_proof.csv", include_str!("../../../../data/enclosure/bolt_proof.csv")),
    ("enclosure/fastener_fit.csv", include_str!("../../../../data/enclosure/fastener_fit.csv")),
    (
        "enclosure/gassing_stationary.csv",
        include_str!("../../../../data/enclosure/gassing_stationary.csv"),
    ),
    (
        "enclosure/gassing_traction.csv",
        include_str!("../../../../data/enclosure/gassing_traction.csv"),
    ),
    ("enclosure/hole_saws.csv", include_str!("../../../../data/enclosure/hole_saws.csv")),
    ("enclosure/screw_pull_out.csv", include_str!("../../../../data/enclosure/screw_pull_out.csv")),
    ("enclosure/screw_strength.csv", include_str!("../../../../data/enclosure/screw_strength.csv")),
    (
        "enclosure/sheet_thickness.csv",
        include_str!("../../../../data/enclosure/sheet_thickness.csv"),
    ),
    ("load/inverter_idle.csv", include_str!("../../../../data/load/inverter_idle.csv")),
    ("load/inverter_model.csv", include_str!("../../../../data/load/inverter_model.csv")),
    ("load/loads.csv", include_str!("../../../../data/load/loads.csv")),
    ("overcurrent/abyc_e11_aic.csv", include_str!("../../../../data/overcurrent/abyc_e11_aic.csv")),
    (
        "overcurrent/adiabatic_k_computed.csv",
        include_str!("../../../../data/overcurrent/adiabatic_k_computed.csv"),
    ),
    (
        "overcurrent/adiabatic_k_iec_60364_5_54.csv",
        include_str!("../../../../data/overcurrent/adiabatic_k_iec_60364_5_54.csv"),
    ),
    (
        "overcurrent/cold_resistance.csv",
        include_str!("../../../../data/overcurrent/cold_resistance.csv"),
    ),
    ("overcurrent/families.csv", include_str!("../../../../data/overcurrent/families.csv")),
    ("overcurrent/interrupt.csv", include_str!("../../../../data/overcurrent/interrupt.csv")),
    (
        "overcurrent/nec_552_10_fuse_by_wire.csv",
        include_str!("../../../../data/overcurrent/nec_552_10_fuse_by_wire.csv"),
    ),
    ("overcurrent/ratings.csv", include_str!("../../../../data/overcurrent/ratings.csv")),
    ("overcurrent/studs.csv", include_str!("../../../../data/overcurrent/studs.csv")),
    ("overcurrent/time_current.csv", include_str!("../../../../data/overcurrent/time_current.csv")),
    ("rules/examiner_items.csv", include_str!("../../../../data/rules/examiner_items.csv")),
    ("rules/examiner_signs.csv", include_str!("../../../../data/rules/examiner_signs.csv")),
    ("rules/limits.csv", include_str!("../../../../data/rules/limits.csv")),
    ("rules/practices.csv", include_str!("../../../../data/rules/practices.csv")),
    (
        "termination/clearance_holes_inch.csv",
        include_str!("../../../../data/termination/clearance_holes_inch.csv"),
    ),
    (
        "termination/clearance_holes_metric.csv",
        include_str!("../../../../data/termination/clearance_holes_metric.csv"),
    ),
    ("termination/colours.csv", include_str!("../../../../data/termination/colours.csv")),
    ("termination/heat_shrink.csv", include_str!("../../../../data/termination/heat_shrink.csv")),
    (
        "termination/joint_resistance.csv",
        include_str!("../../../../data/termination/joint_resistance.csv"),
    ),
    (
        "termination/joint_voltage.csv",
        include_str!("../../../../data/termination/joint_voltage.csv"),
    ),
    (
        "termination/lug_barrel_depth.csv",
        include_str!("../../../../data/termination/lug_barrel_depth.csv"),
    ),
    (
        "termination/pull_test_abyc.csv",
        include_str!("../../../../data/termination/pull_test_abyc.csv"),
    ),
    (
        "termination/pull_test_ul_486a.csv",
        include_str!("../../../../data/termination/pull_test_ul_486a.csv"),
    ),
    ("termination/spanners.csv", include_str!("../../../../data/termination/spanners.csv")),
    (
        "termination/stud_interchange.csv",
        include_str!("../../../../data/termination/stud_interchange.csv"),
    ),
    ("termination/studs.csv", include_str!("../../../../data/termination/studs.csv")),
    ("termination/torque.csv", include_str!("../../../../data/termination/torque.csv")),
    ("vehicle/ball_load_band.csv", include_str!("../../../../data/vehicle/ball_load_band.csv")),
];
