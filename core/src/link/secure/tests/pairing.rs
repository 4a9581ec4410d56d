//! Two sides of a pairing, and all that may go wrong between them.

use crate::journal::DeviceId;
use crate::link::secure::Fingerprint;
use crate::link::secure::pairing::*;
use uuid::Uuid;

const LIVES_MS: u64 = 120_000;

fn card(at: u128) -> Card {
    Card {
        device: DeviceId(Uuid::from_u128(at)),
        name: format!("Tablet {at}"),
    }
}

fn binding() -> Binding {
    Binding {
        typer: Fingerprint([1; 32]),
        shower: Fingerprint([2; 32]),
        exporter: [3; 32],
    }
}

fn code() -> ShownCode {
    ShownCode::new([7; 8], 0, LIVES_MS)
}

/// Types `typed` at `now_ms` over connections as each side sees its own. What each side says of it: the typer first.
fn pair(
    code: &mut ShownCode,
    typed: &str,
    now_ms: u64,
    near: Binding,
    far: Binding,
) -> (Result<Card, PairFault>, Result<Card, PairFault>) {
    let (typer, first) = Typer::begin(typed, card(1), near, [4; 32]).unwrap();
    let (shower, answer) = match Shower::open(Some(code), now_ms, card(2), far, [5; 32], &first) {
        Ok(opened) => opened,
        Err(fault) => return (typer.answered(&refusal(fault)).map(|_| card(0)), Err(fault)),
    };
    let (typer, proof) = typer.answered(&answer).unwrap();
    match shower.proved(Some(code), now_ms, &proof) {
        Ok((card, proof)) => (typer.finish(&proof), Ok(card)),
        Err(fault) => (typer.finish(&refusal(fault)), Err(fault)),
    }
}

fn wrong(code: &ShownCode) -> String {
    let number: u32 = code.digits().parse().unwrap();
    format!("{:06}", (number + 1) % 1_000_000)
}

#[test]
fn the_right_code_tells_each_who_the_other_is() {
    let mut code = code();
    let typed = code.digits().to_owned();
    assert_eq!(
        pair(&mut code, &typed, 0, binding(), binding()),
        (Ok(card(2)), Ok(card(1)))
    );
}

#[test]
fn a_code_is_six_digits_and_may_be_typed_with_gaps() {
    let mut code = code();
    let (before, after) = code.digits().split_at(3);
    let typed = format!(" {before}-{after} ");
    assert_eq!(pair(&mut code, &typed, 0, binding(), binding()).1, Ok(card(1)));
    for typed in ["", "12345", "1234567", "12345x", "１２３４５６"] {
        let refused = Typer::begin(typed, card(1), binding(), [4; 32]).err();
        assert_eq!(refused, Some(PairFault::BadCode), "{typed}");
    }
}

#[test]
fn a_wrong_code_tells_neither_side_anything() {
    let mut code = code();
    let typed = wrong(&code);
    let wrong = Err(PairFault::WrongCode);
    assert_eq!(
        pair(&mut code, &typed, 0, binding(), binding()),
        (wrong.clone(), wrong)
    );
}

#[test]
fn after_three_tries_even_the_right_code_is_refused() {
    let mut code = code();
    let typed = wrong(&code);
    for left in (0..TRIES).rev() {
        assert_eq!(
            pair(&mut code, &typed, 0, binding(), binding()).1,
            Err(PairFault::WrongCode)
        );
        assert_eq!(code.tries_left(), left);
    }
    let typed = code.digits().to_owned();
    let dead = Err(PairFault::CodeUsedUp);
    assert_eq!(
        pair(&mut code, &typed, 0, binding(), binding()),
        (dead.clone(), dead)
    );
}

/// Otherwise a guess could be thought over at leisure.
#[test]
fn a_try_counts_although_the_guesser_goes_away_without_a_proof() {
    let mut code = code();
    for _ in 0..TRIES {
        let (_, first) = Typer::begin("000000", card(1), binding(), [4; 32]).unwrap();
        Shower::open(Some(&mut code), 0, card(2), binding(), [5; 32], &first)
            .map(drop)
            .unwrap();
    }
    assert_eq!(code.live(0), Err(PairFault::CodeUsedUp));
}

#[test]
fn a_code_dies_of_age_before_and_between_its_words() {
    let mut code = code();
    let typed = code.digits().to_owned();
    let dead = Err(PairFault::CodeExpired);
    assert_eq!(
        pair(&mut code, &typed, LIVES_MS, binding(), binding()),
        (dead.clone(), dead.clone())
    );
    let (typer, first) = Typer::begin(&typed, card(1), binding(), [4; 32]).unwrap();
    let opened = Shower::open(Some(&mut code), LIVES_MS - 1, card(2), binding(), [5; 32], &first);
    let (shower, answer) = opened.ok().unwrap();
    let (_, proof) = typer.answered(&answer).ok().unwrap();
    let late = shower.proved(Some(&code), LIVES_MS, &proof).map(|(card, _)| card);
    assert_eq!(late, dead);
}

#[test]
fn a_code_that_is_not_shown_any_more_pairs_nobody() {
    let mut code = code();
    let typed = code.digits().to_owned();
    let (typer, first) = Typer::begin(&typed, card(1), binding(), [4; 32]).unwrap();
    let nothing = Shower::open(None, 0, card(2), binding(), [5; 32], &first).map(drop);
    assert_eq!(nothing, Err(PairFault::NoCode));
    let opened = Shower::open(Some(&mut code), 0, card(2), binding(), [5; 32], &first);
    let (shower, answer) = opened.ok().unwrap();
    let (_, proof) = typer.answered(&answer).ok().unwrap();
    assert_eq!(shower.proved(None, 0, &proof).map(drop), Err(PairFault::NoCode));
}

/// Whoever stands between the two shows each a certificate of its own.
#[test]
fn the_right_code_through_a_man_in_the_middle_pairs_nobody() {
    let typed = code().digits().to_owned();
    let between = Fingerprint([9; 32]);
    let near = Binding {
        shower: between,
        ..binding()
    };
    let far = Binding {
        typer: between,
        ..binding()
    };
    for (near, far) in [(near, binding()), (binding(), far), (near, far)] {
        let wrong = Err(PairFault::WrongCode);
        assert_eq!(pair(&mut code(), &typed, 0, near, far), (wrong.clone(), wrong));
    }
}

#[test]
fn a_proof_of_one_connection_is_worth_nothing_on_another() {
    let mut code = code();
    let typed = code.digits().to_owned();
    let other = Binding {
        exporter: [8; 32],
        ..binding()
    };
    assert_eq!(
        pair(&mut code, &typed, 0, other, binding()).1,
        Err(PairFault::WrongCode)
    );

    // Said again word for word to the same code, which answers with another half.
    let (typer, first) = Typer::begin(&typed, card(1), binding(), [4; 32]).unwrap();
    let open = |code: &mut ShownCode, random| {
        Shower::open(Some(code), 0, card(2), binding(), [random; 32], &first)
            .ok()
            .unwrap()
    };
    let (shower, answer) = open(&mut code, 5);
    let (_, proof) = typer.answered(&answer).ok().unwrap();
    assert!(shower.proved(Some(&code), 0, &proof).is_ok());
    let (again, _) = open(&mut code, 6);
    assert_eq!(
        again.proved(Some(&code), 0, &proof).map(drop),
        Err(PairFault::WrongCode)
    );
}

#[test]
fn a_proof_sent_back_to_its_sender_is_refused() {
    let mut code = code();
    let typed = code.digits().to_owned();
    let (typer, first) = Typer::begin(&typed, card(1), binding(), [4; 32]).unwrap();
    let opened = Shower::open(Some(&mut code), 0, card(2), binding(), [5; 32], &first);
    let (typer, proof) = typer.answered(&opened.ok().unwrap().1).ok().unwrap();
    assert_eq!(typer.finish(&proof), Err(PairFault::WrongCode));
}

#[test]
fn a_device_does_not_pair_with_itself() {
    let mut code = code();
    let typed = code.digits().to_owned();
    let (typer, first) = Typer::begin(&typed, card(1), binding(), [4; 32]).unwrap();
    let opened = Shower::open(Some(&mut code), 0, card(1), binding(), [5; 32], &first);
    let (shower, answer) = opened.ok().unwrap();
    let (_, proof) = typer.answered(&answer).ok().unwrap();
    assert_eq!(
        shower.proved(Some(&code), 0, &proof).map(drop),
        Err(PairFault::OwnDevice)
    );
}

#[test]
fn what_is_no_word_of_a_pairing_is_refused_and_costs_no_try() {
    let mut code = code();
    let (_, first) = Typer::begin("123456", card(1), binding(), [4; 32]).unwrap();
    let longer = [first.as_slice(), &[0]].concat();
    let too_long = vec![0x61; PAIR_FRAME_CAP + 1];
    for frame in [&[][..], b"hello", &longer, &too_long, &refusal(PairFault::Late)] {
        let opened = Shower::open(Some(&mut code), 0, card(2), binding(), [5; 32], frame);
        assert!(opened.is_err());
    }
    assert_eq!(code.tries_left(), TRIES);
}

#[test]
fn every_code_of_a_refusal_is_its_own_and_is_understood() {
    let mut seen = std::collections::BTreeSet::new();
    let faults = [
        PairFault::NoCode,
        PairFault::CodeExpired,
        PairFault::CodeUsedUp,
        PairFault::WrongCode,
        PairFault::Garbage,
        PairFault::KnownOtherwise,
        PairFault::OwnDevice,
    ];
    for fault in faults {
        assert!(seen.insert(fault.code()));
        let (typer, _) = Typer::begin("123456", card(1), binding(), [4; 32]).unwrap();
        assert_eq!(typer.answered(&refusal(fault)).map(drop), Err(fault));
    }
}

#[test]
fn the_code_is_not_printed_where_the_rest_is() {
    let code = code();
    assert!(!format!("{code:?}").contains(code.digits()));
}
