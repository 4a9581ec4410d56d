// The codes of the review, as far as they are known.

export const KNOWN_REVIEW = {
  review: [
    "disagreement", "two_requests", "unknown_state", "request_changed", "readings_differ",
    "readings_seem_to_differ", "two_on_screw", "still_as_flowing", "gauge_over_span",
    "gauge_out_of_calibration", "gauge_off_range", "gauge_zero_off", "gauge_not_known", "not_bled",
    "not_normal", "lock_nut_not_re_read", "step_open", "step_refused", "step_unsaid", "not_met", "initials",
    "step_overridden", "step_not_done", "step_out_of_order", "limit_on_setting", "without_effect",
    "unknown_kind", "unknown_procedure", "late_entries",
  ],
  noEffect: [
    "not_granted", "not_from_office", "not_from_opener", "wrong_register", "unknown_entry", "not_seen", "cannot_be_withdrawn",
    "withdrawn",
  ],
  gaugeProblem: [
    "gauge_not_on_record", "gauge_disagreed", "gauge_span_unknown", "gauge_grade_assumed",
    "gauge_out_of_calibration", "gauge_calibration_unknown", "gauge_beyond_scale", "gauge_off_range",
    "gauge_below_inlet", "gauge_zero_off",
  ],
  stepWarning: [
    "attendant_only_watches",
  ],
} as const;

/** The families of codes of the review. */
export type ReviewFamily = keyof typeof KNOWN_REVIEW;
