//! Files as loggers and spreadsheets write them, and files that are none.

use super::layout::look;
use super::number::number;
use super::*;
use crate::quantity::Unit;
use crate::steady::{State, judge};
use proptest::prelude::*;

const ANYHOW: Reading = Reading {
    column: None,
    unit: None,
    day_first: None,
};

fn psi_or(unit: Unit) -> Reading {
    Reading {
        unit: Some(unit),
        ..ANYHOW
    }
}

fn series(file: &str) -> Series {
    read(file.as_bytes(), &ANYHOW).unwrap()
}

fn refused(file: &str) -> &'static str {
    read(file.as_bytes(), &ANYHOW).unwrap_err().code()
}

/// The same three readings in many hands' ways of writing them.
#[test]
fn comma_semicolon_and_tab_point_and_comma_iso_and_local_times_read_the_same() {
    let files = [
        "Time,Pressure (psi)\n2025-11-25T10:00:00Z,60.0\n2025-11-25T10:00:01Z,60.5\n2025-11-25T10:00:03Z,59.5\n",
        "Time;Pressure [psi]\n2025-11-25 10:00:00;60,0\n2025-11-25 10:00:01;60,5\n2025-11-25 10:00:03;59,5\n",
        "Time\tP psi\n25.11.2025 10:00:00\t60,0\n25.11.2025 10:00:01\t60,5\n25.11.2025 10:00:03\t59,5\n",
        "Date,Time,Pressure psig\n11/25/2025,10:00:00 AM,60.0\n11/25/2025,10:00:01 AM,60.5\n11/25/2025,10:00:03 AM,59.5\n",
        "\u{feff}Date;Time;Pressure_psi\r\n25/11/2025;10:00:00;60,0\r\n25/11/2025;10:00:01;60,5\r\n25/11/2025;10:00:03;59,5\r\n",
        "Logger 12, vault 3\nserial,4711\n\nElapsed (s),Pressure (psi)\n0,60.0\n1,60.5\n3,59.5\n",
        "time,\"pressure, psi\"\n2025-11-25T04:00:00-06:00,\"60,0\"\n2025-11-25T04:00:01-06:00,\"60,5\"\n2025-11-25T04:00:03-06:00,\"59,5\"\n",
        "Time;Temp (C);Pressure\n;C;psi\n2025/11/25 10:00;12,5;60,0\n2025/11/25 10:00:01;12,5;60,5\n2025/11/25 10:00:03;12,5;59,5\n",
    ];
    for file in files {
        let read = series(file);
        assert_eq!(read.unit, Unit::Psi, "{file}");
        assert_eq!(read.samples, [(0.0, 60.0), (1.0, 60.5), (3.0, 59.5)], "{file}");
    }
}

#[test]
fn utf_16_and_latin_1_are_read_too() {
    let file = "Time;Pressure (bar)\n2025-11-25 10:00:00;4,1\n2025-11-25 10:00:01;4,2\n";
    let wide: Vec<u8> = [0xFF, 0xFE]
        .into_iter()
        .chain(file.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    assert_eq!(read(&wide, &ANYHOW).unwrap().samples, series(file).samples);
    let latin: Vec<u8> =
        b"Time;Temp (\xB0C);Pressure (bar)\n2025-11-25 10:00:00;12;4,1\n2025-11-25 10:00:01;12;4,2\n"
            .to_vec();
    let latin = read(&latin, &ANYHOW).unwrap();
    assert_eq!(
        (latin.unit, latin.samples),
        (Unit::Bar, vec![(0.0, 4.1), (1.0, 4.2)])
    );
}

#[test]
fn times_keep_their_fractions_and_say_whether_they_are_local() {
    let ten_hz = series(
        "t,p (psi)\n2025-11-25T10:00:00.0Z,60\n2025-11-25T10:00:00.1Z,61\n2025-11-25T10:00:00.2Z,62\n",
    );
    let times: Vec<f64> = ten_hz.samples.iter().map(|&(at, _)| at).collect();
    assert!(
        (times[1] - 0.1).abs() < 1e-6 && (times[2] - 0.2).abs() < 1e-6,
        "{times:?}"
    );
    assert_eq!(ten_hz.remarks, []);
    // 2025-11-25T10:00:00Z.
    assert!((ten_hz.begins_s - 1_764_064_800.0).abs() < 1e-6);
    let local = series("t,p (psi)\n2025-11-25 10:00:00,60\n2025-11-25 10:00:01,61\n");
    assert_eq!(local.remarks, [Remark::LocalTimes]);
    let half = series("t,p (psi)\n11/25/2025 12:00:00 AM,60\n11/25/2025 12:00:00 PM,61\n");
    assert_eq!(half.samples[1], (12.0 * 3600.0, 61.0));
}

#[test]
fn unordered_and_duplicate_times_are_put_right_and_said() {
    let read = series("t,p (psi)\n2,62\n0,60\n1,61\n1,63\n");
    assert_eq!(read.samples, [(0.0, 60.0), (1.0, 62.0), (2.0, 62.0)]);
    assert_eq!(read.remarks, [Remark::Unordered, Remark::DuplicateTimes]);
}

#[test]
fn a_gap_is_said_and_rows_without_a_number_are_left_out() {
    use std::fmt::Write;
    let mut file = String::from("t,p (psi)\n");
    for second in 0..40 {
        let at = if second < 20 { second } else { second + 600 };
        let value = if second == 5 { "---" } else { "60" };
        writeln!(file, "{at},{value}").unwrap();
    }
    let read = series(&file);
    assert_eq!((read.samples.len(), read.rows), (39, (39, 1)));
    assert_eq!(read.remarks, [Remark::RowsLeftOut, Remark::Gaps]);
}

#[test]
fn the_first_pressure_is_taken_unless_another_column_is_asked_for() {
    let file = "t;Flow (L/s);Inlet (kPa);Outlet (kPa)\n0;5;700;400\n1;6;701;401\n";
    let found = look(file.as_bytes()).unwrap();
    let names: Vec<&str> = found.columns.iter().map(|column| column.name.as_str()).collect();
    assert_eq!(names, ["Inlet (kPa)", "Outlet (kPa)", "Flow (L/s)"]);
    let values = |column| {
        let read = read(file.as_bytes(), &Reading { column, ..ANYHOW }).unwrap();
        (read.unit, read.samples[0].1)
    };
    assert_eq!(values(None), (Unit::Kilopascal, 700.0));
    assert_eq!(values(Some(3)), (Unit::Kilopascal, 400.0));
    assert_eq!(values(Some(1)), (Unit::LitrePerSecond, 5.0));
    let none = read(
        file.as_bytes(),
        &Reading {
            column: Some(9),
            ..ANYHOW
        },
    );
    assert_eq!(none.unwrap_err(), LoggerError::NoColumn);
}

#[test]
fn what_can_be_two_things_is_refused_until_somebody_says_which() {
    let no_unit = "t,p\n0,60\n1,61\n";
    assert_eq!(refused(no_unit), "no_unit");
    assert_eq!(
        read(no_unit.as_bytes(), &psi_or(Unit::Psi)).unwrap().unit,
        Unit::Psi
    );

    let unsure = "t,p (psi)\n03/04/2025 10:00,60\n03/04/2025 10:01,61\n";
    assert_eq!(refused(unsure), "ambiguous_date");
    assert!(look(unsure.as_bytes()).unwrap().day_and_month_unsure);
    let begins = |day_first| {
        let said = Reading {
            day_first: Some(day_first),
            ..ANYHOW
        };
        read(unsure.as_bytes(), &said).unwrap().begins_s
    };
    // 3 April and 4 March 2025, 10:00.
    assert!((begins(true) - 1_743_674_400.0).abs() < 1e-6);
    assert!((begins(false) - 1_741_082_400.0).abs() < 1e-6);
    // One row that can only be read one way tells for all of them.
    let told = "t,p (psi)\n03/04/2025 10:00,60\n13/04/2025 10:00,61\n";
    assert_eq!(series(told).samples[1], (10.0 * 86400.0, 61.0));
}

#[test]
fn what_is_no_loggers_file_is_refused_with_a_code() {
    assert_eq!(refused(""), "empty");
    assert_eq!(refused(" \n\n"), "empty");
    assert_eq!(refused("Dear customer,\nthe pressure was good.\n"), "no_data");
    assert_eq!(refused("t,p (psi)\n"), "no_data");
    let bad = "t,p (psi)\n0,60\n1,x\n2,60\n3,60\n4,60\n";
    let error = read(bad.as_bytes(), &ANYHOW).unwrap_err();
    assert_eq!(
        error,
        LoggerError::BadRows {
            bad: 1,
            rows: 5,
            line: 3
        }
    );
    assert_eq!(error.code(), "bad_rows");
}

#[test]
fn numbers_are_read_with_a_point_or_a_comma() {
    for (cell, expected) in [
        ("60.5", Some(60.5)),
        (" 60,5 ", Some(60.5)),
        ("1,060.5", Some(1060.5)),
        ("1.060,5", Some(1060.5)),
        ("-3", Some(-3.0)),
        ("6.05E1", Some(60.5)),
        ("1,2,3", None),
        ("", None),
        ("NaN", None),
        ("inf", None),
        ("1e999", None),
        ("60 psi", None),
    ] {
        assert_eq!(number(cell), expected, "{cell:?}");
    }
}

#[test]
fn a_window_drawn_on_few_pixels_keeps_every_peak_and_every_gap() {
    let mut samples: Vec<(f64, f64)> = (0..10_000).map(|at| (f64::from(at), 60.0)).collect();
    samples[4321].1 = 95.0;
    samples.retain(|&(at, _)| !(6000.0..7000.0).contains(&at));
    let series = Series {
        name: String::new(),
        unit: Unit::Psi,
        begins_s: 0.0,
        dated: false,
        rows: (samples.len(), 0),
        samples,
        remarks: Vec::new(),
    };
    let whole = Window {
        from_s: 0.0,
        to_s: 9999.0,
    };
    let bars = outline(&series, whole, 100);
    let peak = bars.iter().max_by(|a, b| a.high.total_cmp(&b.high)).unwrap();
    assert_eq!((peak.at, peak.low, peak.high), (43, 60.0, 95.0));
    assert!(
        bars.iter().all(|bar| !(61..70).contains(&bar.at)),
        "the gap stays one"
    );
    let part = Window {
        from_s: 0.0,
        to_s: 9.0,
    };
    assert_eq!(outline(&series, part, 10).len(), 10);
}

#[test]
fn a_window_of_a_series_is_judged_like_any_samples() {
    use std::fmt::Write;
    let mut file = String::from("t,p (bar)\n");
    for second in 0..600 {
        let at = f64::from(second);
        let bar = 4.0 + 2.0 * (-at / 20.0).exp();
        writeln!(file, "{second},{bar:.4}").unwrap();
    }
    let read = series(&file);
    let state = |from, to| judge(&read.samples_psi(from, to).unwrap(), None).unwrap().state;
    assert_eq!(state(0.0, 30.0), State::Settling);
    assert_eq!(state(0.0, 600.0), State::Steady);
    let mean = judge(&read.samples_psi(300.0, 600.0).unwrap(), None)
        .unwrap()
        .mean_psi;
    // 4 bar in psi, by the units' own definitions.
    assert!((mean - 58.0151).abs() < 0.001, "{mean}");
}

#[test]
fn a_packed_file_unpacks_to_the_same_bytes_and_always_packs_the_same() {
    let file = b"t,p (psi)\n0,60\n1,61\n".repeat(1000);
    let packed = pack(&file).unwrap();
    assert!(packed.len() * 20 < file.len());
    assert_eq!(packed, pack(&file).unwrap());
    assert_eq!(unpack(&packed).unwrap(), file);
    assert_eq!(unpack(&packed[..packed.len() / 2]), Err(LoggerError::Damaged));
    assert_eq!(unpack(b"not packed"), Err(LoggerError::Damaged));
}

proptest! {
    #[test]
    fn no_bytes_whatever_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = look(&bytes);
        if let Ok(series) = read(&bytes, &psi_or(Unit::Psi)) {
            prop_assert!(series.samples.is_sorted_by(|a, b| a.0 < b.0));
            prop_assert!(series.samples.iter().all(|(at, value)| at.is_finite() && value.is_finite()));
        }
    }

    #[test]
    fn no_text_of_rows_makes_it_panic(text in "([0-9/:;,. \\t\\-TZ\"eE+APMx]{0,30}\\n){0,12}") {
        if let Ok(series) = read(text.as_bytes(), &psi_or(Unit::Psi)) {
            prop_assert!(series.samples.is_sorted_by(|a, b| a.0 < b.0));
            prop_assert!(series.samples.iter().all(|(at, value)| at.is_finite() && value.is_finite()));
        }
    }

    #[test]
    fn whatever_is_written_is_read_back(values in proptest::collection::vec(-50.0_f64..400.0, 1..60), comma in any::<bool>()) {
        use std::fmt::Write;
        let mut file = String::from("t;p (psi)\n");
        for (at, value) in values.iter().enumerate() {
            let digits = format!("{value:.3}");
            writeln!(file, "{at};{}", if comma { digits.replace('.', ",") } else { digits }).unwrap();
        }
        let read = series(&file);
        prop_assert_eq!(read.samples.len(), values.len());
        for ((_, read), value) in read.samples.iter().zip(&values) {
            prop_assert!((read - value).abs() <= 0.0005 + 1e-9);
        }
    }
}
