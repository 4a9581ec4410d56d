use super::*;
use crate::people::DeskRole;
use uuid::Uuid;

fn a_registry() -> (tempfile::TempDir, Registry) {
    let dir = tempfile::tempdir().unwrap();
    let registry = Registry::open(dir.path()).unwrap();
    (dir, registry)
}

fn person(name: &str, role: DeskRole) -> Account {
    Account {
        id: AccountId(Uuid::now_v7()),
        name: name.to_owned(),
        role,
        password: "kept".to_owned(),
        active: true,
        made_at: 1_000,
    }
}

#[test]
fn a_name_is_taken_whatever_its_capital_letters() {
    let (_dir, registry) = a_registry();
    let ines = person("Ines Roca", DeskRole::Office);
    assert!(registry.add_account(&ines).unwrap());
    assert!(
        !registry
            .add_account(&person("ines roca", DeskRole::Reader))
            .unwrap()
    );
    assert_eq!(registry.account_named("INES ROCA").unwrap(), Some(ines));
}

#[test]
fn what_is_kept_is_there_after_a_restart() {
    let dir = tempfile::tempdir().unwrap();
    let ines = person("Ines", DeskRole::Administrator);
    {
        let registry = Registry::open(dir.path()).unwrap();
        registry.add_account(&ines).unwrap();
        registry.open_session(ines.id, "secret", "csrf", 1_000).unwrap();
    }
    let registry = Registry::open(dir.path()).unwrap();
    assert_eq!(registry.session("secret", 1_001).unwrap().unwrap().account, ines);
}

#[test]
fn a_session_ends_idle_after_a_working_day_and_in_any_case_after_a_week() {
    let (_dir, registry) = a_registry();
    let ines = person("Ines", DeskRole::Office);
    registry.add_account(&ines).unwrap();
    registry.open_session(ines.id, "secret", "csrf", 0).unwrap();
    let hour = 3_600;
    assert!(registry.session("secret", 12 * hour).unwrap().is_some());
    assert!(registry.session("secret", 24 * hour).unwrap().is_some());
    assert!(registry.session("secret", 36 * hour + 1).unwrap().is_none());
    registry.open_session(ines.id, "busy", "csrf", 0).unwrap();
    for used in (0..=7 * 24).step_by(6) {
        assert!(registry.session("busy", used * hour).unwrap().is_some());
    }
    assert!(registry.session("busy", 7 * 24 * hour + 1).unwrap().is_none());
}

#[test]
fn whoever_is_shut_out_or_gets_another_role_is_signed_out_everywhere() {
    let (_dir, registry) = a_registry();
    registry
        .add_account(&person("Root", DeskRole::Administrator))
        .unwrap();
    let ines = person("Ines", DeskRole::Office);
    registry.add_account(&ines).unwrap();
    registry.open_session(ines.id, "desk", "csrf", 0).unwrap();
    assert!(
        registry
            .change_account(ines.id, DeskRole::Reader, true, None)
            .unwrap()
    );
    assert_eq!(registry.session("desk", 1).unwrap(), None);
    registry.open_session(ines.id, "again", "csrf", 0).unwrap();
    assert!(
        registry
            .change_account(ines.id, DeskRole::Reader, false, None)
            .unwrap()
    );
    assert_eq!(registry.session("again", 1).unwrap(), None);
}

#[test]
fn the_last_administrator_cannot_be_taken_away() {
    let (_dir, registry) = a_registry();
    let only = person("Root", DeskRole::Administrator);
    registry.add_account(&only).unwrap();
    registry.add_account(&person("Ines", DeskRole::Office)).unwrap();
    assert!(
        !registry
            .change_account(only.id, DeskRole::Office, true, None)
            .unwrap()
    );
    assert!(
        !registry
            .change_account(only.id, DeskRole::Administrator, false, None)
            .unwrap()
    );
    assert_eq!(registry.account(only.id).unwrap(), Some(only));
}

#[test]
fn a_revoked_token_opens_nothing_and_stays_listed() {
    let (_dir, registry) = a_registry();
    let token = ApiToken {
        id: ApiTokenId(Uuid::now_v7()),
        name: "asset register".to_owned(),
        role: DeskRole::Reader,
        made_at: 5,
        revoked_at: None,
    };
    registry.add_token(&token, "secret").unwrap();
    assert_eq!(registry.token("secret").unwrap(), Some(token.clone()));
    assert_eq!(registry.token("secre").unwrap(), None);
    assert!(registry.revoke_token(token.id, 9).unwrap());
    assert!(!registry.revoke_token(token.id, 10).unwrap());
    assert_eq!(registry.token("secret").unwrap(), None);
    assert_eq!(registry.tokens().unwrap()[0].revoked_at, Some(9));
}

#[test]
fn no_secret_is_in_the_file_as_it_is_sent() {
    let dir = tempfile::tempdir().unwrap();
    let secret = "5d41402abc4b2a76b9719d911017c592-not-in-the-file";
    {
        let registry = Registry::open(dir.path()).unwrap();
        let ines = person("Ines", DeskRole::Office);
        registry.add_account(&ines).unwrap();
        registry.open_session(ines.id, secret, "csrf", 0).unwrap();
    }
    let mut bytes = Vec::new();
    for entry in std::fs::read_dir(dir.path()).unwrap() {
        bytes.extend(std::fs::read(entry.unwrap().path()).unwrap());
    }
    let holds = |text: &str| bytes.windows(text.len()).any(|window| window == text.as_bytes());
    assert!(holds("Ines"), "the file was not read");
    assert!(!holds(secret));
}

#[test]
fn a_closed_registry_refuses_and_its_file_can_be_opened_again() {
    let (dir, registry) = a_registry();
    registry.close();
    assert_eq!(registry.accounts().unwrap_err().code(), "io");
    assert_eq!(Registry::open(dir.path()).unwrap().accounts().unwrap(), []);
}

#[test]
fn the_audit_trail_pages_backwards() {
    let (_dir, registry) = a_registry();
    for at in 0..5 {
        registry.note(at, "Ines", "signed_in", "").unwrap();
    }
    let newest = registry.audit(None, 2).unwrap();
    assert_eq!(newest.iter().map(|row| row.at).collect::<Vec<_>>(), [4, 3]);
    let older = registry.audit(Some(newest[1].id), 9).unwrap();
    assert_eq!(older.iter().map(|row| row.at).collect::<Vec<_>>(), [2, 1, 0]);
}

#[test]
fn a_registry_of_a_newer_program_is_refused_and_left_alone() {
    let (dir, registry) = a_registry();
    registry
        .read(|connection| connection.pragma_update(None, "user_version", 99))
        .unwrap();
    drop(registry);
    assert_eq!(Registry::open(dir.path()).unwrap_err().code(), "schema_newer");
}
