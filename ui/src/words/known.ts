// The codes known so far that come as plain strings. A code that is not here still shows, as itself.

import { PAIRING_ERRORS } from "./known-pairing";
import { KNOWN_REVIEW } from "./known-review";

const KNOWN = {
  ...KNOWN_REVIEW,
  particular: [
    "spring_low", "spring_high", "spring_rate", "min_differential", "min_flow", "size", "plate", "screw_height",
    "permit_space", "clockwise", "keeps_shut", "operator_told", "come_back", "static_difference",
    "stroke_opening", "stroke_closing", "request", "faults_found",
  ],
  noPlan: [
    "no_request", "no_rate", "no_reading", "reading_older_than_turn", "reading_without_flow",
    "request_disagreed", "rate_not_positive", "too_many_moves", "limit_not_positive", "negative_differential",
    "empty_range", "not_finite", "still_settling", "drifting", "hunting", "prove_flow_again", "went_wrong_way",
    "noise_not_positive",
  ],
  warning: [
    "no_flow_evidence", "out_of_range", "near_end", "from_out_of_range", "above_inlet", "min_differential",
    "inlet_unknown", "reversed_screw", "wrong_way", "no_answer", "other_spring", "doubtful_reading", "upset",
    "dead_band_large", "near_spring_end", "starved_by_inlet",
  ],
  cannotSign: [
    "something_missing", "open_items", "not_lead_tech", "nobody_here", "update_needed", "no_record",
    "already_signed",
  ],
  rateFrom: [
    "printed", "learned",
  ],
  setAside: [
    "not_an_entry", "duplicate_id", "key_mismatch", "not_found",
  ],
  error: [
    ...PAIRING_ERRORS,
    "item_changed", "already_re_opened",
    "number_taken", "body_too_large", "body_not_read", "bad_json", "no_route", "not_signed", "record_mismatch",
    "stopping", "no_thread", "no_randomness", "procedures",
    "record_changed", "entries_changed", "nobody_here", "unknown_job", "unknown_valve", "unknown_person",
    "unknown_entry", "unknown_procedure", "unknown_step", "already_withdrawn", "cannot_be_withdrawn",
    "not_recorded_here", "request_not_named", "resolution_mismatch", "note_empty", "bad_field", "bad_name",
    "too_long", "reads_only", "not_lead_tech", "something_missing", "open_items", "already_signed", "no_screw",
    "engine_gone", "not_a_number", "empty_figure", "figure_too_long", "untrimmed_figure", "decimal_comma",
    "fraction_not_taken", "zero_denominator", "wrong_dimension", "not_finite", "no_unit", "unknown_unit",
    "disk_full", "read_only", "corrupt", "io", "database", "schema_newer", "already_open", "actor_used",
    "entry_too_large", "entry_unwritable", "too_large", "not_granted", "hard_stop", "reason_missing",
    "not_opened", "http_401", "http_403", "procedure_not_here", "valve_twice",
    "sign_in", "sign_in_refused", "role_refused", "csrf_refused", "too_many_tries", "password_too_short",
    "password_too_long", "password_refused", "password_not_kept", "name_missing", "name_taken",
    "last_administrator", "unknown_token", "role_too_great", "no_account", "bad_query", "internal",
  ],
} as const;

/** The families of codes. */
export type Family = keyof typeof KNOWN;

/** Words for every known code: a missing one does not compile. */
export type Known = { [F in Family]: Record<(typeof KNOWN)[F][number], string> };

export { KNOWN };
