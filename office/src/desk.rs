//! Signing in and out, people, programs' tokens and the audit trail, over HTTP.

use crate::api::{
    AccountChange, AccountNew, AccountView, AuditPage, NewPassword, SessionView, SignIn, TokenMade, TokenNew,
    TokenView,
};
use crate::door::{COOKIE, Caller, Door, Way};
use crate::people::{DeskRole, PasswordError, check_password, hash_password};
use crate::registry::{Account, AccountId, ApiToken, ApiTokenId, AuditRow};
use crate::routes::{Refusal, read, written};
use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{Extension, Path, Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{delete, get, post};
use serde::Deserialize;
use uuid::Uuid;

/// Rows of the audit trail on one page.
const PAGE: u32 = 100;

/// The longest name of a person or a program, in characters.
const NAME_LIMIT: usize = 100;

type Body = Result<Bytes, BytesRejection>;

/// The routes.
pub fn routes() -> Router<Door> {
    Router::new()
        .route("/api/session", get(session).post(sign_in).delete(sign_out))
        .route("/api/session/password", post(own_password))
        .route("/api/people", get(people).post(add_person))
        .route("/api/people/{person}", post(change_person))
        .route("/api/tokens", get(tokens).post(add_token))
        .route("/api/tokens/{token}", delete(revoke_token))
        .route("/api/audit", get(audit))
}

async fn session(State(door): State<Door>, caller: Option<Extension<Caller>>) -> Result<Response, Refusal> {
    let people = door.registry_call(crate::registry::Registry::accounts).await?;
    Ok(written(
        StatusCode::OK,
        &SessionView::new(caller.map(|Extension(caller)| caller).as_ref(), people.is_empty()),
    ))
}

async fn sign_in(State(door): State<Door>, body: Body) -> Result<Response, Refusal> {
    let given: SignIn = read(body)?;
    let now = door.now();
    let wait = door.tries().wait(&given.name, now);
    if wait > 0 {
        let mut response = Refusal {
            status: StatusCode::TOO_MANY_REQUESTS,
            code: "too_many_tries",
            message: format!("too many wrong tries; wait {wait} seconds"),
        }
        .into_response();
        response
            .headers_mut()
            .insert(header::RETRY_AFTER, HeaderValue::from(wait));
        return Ok(response);
    }
    // Counted before the password is looked at: a hundred tries at once are a hundred tries.
    door.tries().wrong(&given.name, now);
    let name = given.name.trim().to_owned();
    let opened = door
        .registry_call(move |registry| {
            let account = registry.account_named(&name)?.filter(|account| account.active);
            let kept = account.as_ref().map(|account| account.password.as_str());
            Ok(account
                .clone()
                .filter(|_| check_password(&given.password, kept))
                .or_else(|| {
                    // A name that nobody has costs the same time.
                    if account.is_none() {
                        check_password(&given.password, None);
                    }
                    None
                })
                .ok_or(name))
        })
        .await?;
    match opened {
        Err(name) => {
            let shown: String = name.chars().take(NAME_LIMIT).collect();
            door.registry_call(move |registry| registry.note(now, &shown, "sign_in_refused", ""))
                .await?;
            Err(Refusal {
                status: StatusCode::UNAUTHORIZED,
                code: "sign_in_refused",
                message: "the name or the password is not right".to_owned(),
            })
        }
        Ok(account) => {
            door.tries().right(&account.name);
            let (secret, csrf) = (secret()?, secret_csrf()?);
            let (kept_secret, kept_csrf, id) = (secret.clone(), csrf.clone(), account.id);
            let name = account.name.clone();
            door.registry_call(move |registry| {
                registry.open_session(id, &kept_secret, &kept_csrf, now)?;
                registry.note(now, &name, "signed_in", "")
            })
            .await?;
            let caller = Caller {
                name: account.name,
                role: account.role,
                way: Way::Person {
                    account: account.id,
                    secret: secret.clone(),
                    csrf,
                },
            };
            let mut response = written(StatusCode::OK, &SessionView::new(Some(&caller), false));
            set_cookie(
                &mut response,
                &format!("{COOKIE}={secret}; Path=/; HttpOnly; SameSite=Strict"),
            )?;
            Ok(response)
        }
    }
}

async fn sign_out(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
) -> Result<Response, Refusal> {
    if let Way::Person { secret, .. } = &caller.way {
        let secret = secret.clone();
        door.registry_call(move |registry| registry.close_session(&secret))
            .await?;
        door.note(&caller, "signed_out", "").await;
    }
    let mut response = written(StatusCode::OK, &SessionView::new(None, false));
    set_cookie(
        &mut response,
        &format!("{COOKIE}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0"),
    )?;
    Ok(response)
}

async fn own_password(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
    body: Body,
) -> Result<Response, Refusal> {
    let given: NewPassword = read(body)?;
    let Way::Person { account, .. } = caller.way else {
        return Err(Refusal::invalid(
            "no_account",
            "only a person who signed in has a password",
        ));
    };
    let now = door.now();
    let wait = door.tries().wait(&caller.name, now);
    if wait > 0 {
        return Err(Refusal {
            status: StatusCode::TOO_MANY_REQUESTS,
            code: "too_many_tries",
            message: format!("too many wrong tries; wait {wait} seconds"),
        });
    }
    let kept = door
        .registry_call(move |registry| registry.account(account))
        .await?
        .ok_or_else(unknown_person)?;
    let current = given.current;
    let matches = off_thread(move || check_password(&current, Some(&kept.password))).await?;
    if !matches {
        door.tries().wrong(&caller.name, now);
        return Err(Refusal {
            status: StatusCode::FORBIDDEN,
            code: "password_refused",
            message: "the password up to now is not right".to_owned(),
        });
    }
    let hash = hashed(given.new).await?;
    let role = caller.role;
    let changed = door
        .registry_call(move |registry| registry.change_account(account, role, true, Some(&hash)))
        .await?;
    if !changed {
        return Err(last_administrator());
    }
    door.note(&caller, "password_changed", "").await;
    Ok(written(StatusCode::OK, &SessionView::new(None, false)))
}

async fn people(State(door): State<Door>) -> Result<Response, Refusal> {
    let people = door.registry_call(crate::registry::Registry::accounts).await?;
    let people: Vec<AccountView> = people.iter().map(AccountView::new).collect();
    Ok(written(StatusCode::OK, &people))
}

async fn add_person(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
    body: Body,
) -> Result<Response, Refusal> {
    let new: AccountNew = read(body)?;
    let account = Account {
        id: AccountId(Uuid::now_v7()),
        name: name(&new.name)?,
        role: new.role,
        password: hashed(new.password).await?,
        active: true,
        made_at: door.now(),
    };
    let kept = account.clone();
    if !door
        .registry_call(move |registry| registry.add_account(&kept))
        .await?
    {
        return Err(Refusal {
            status: StatusCode::CONFLICT,
            code: "name_taken",
            message: "somebody has this name already".to_owned(),
        });
    }
    door.note(
        &caller,
        "person_added",
        format!("{} as {}", account.name, account.role),
    )
    .await;
    Ok(written(StatusCode::OK, &AccountView::new(&account)))
}

async fn change_person(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
    Path(person): Path<String>,
    body: Body,
) -> Result<Response, Refusal> {
    let id = AccountId(person.parse().map_err(|_| unknown_person())?);
    let change: AccountChange = read(body)?;
    let password = match change.password {
        Some(password) => Some(hashed(password).await?),
        None => None,
    };
    let account = door
        .registry_call(move |registry| registry.account(id))
        .await?
        .ok_or_else(unknown_person)?;
    let reset = password.is_some();
    let changed = door
        .registry_call(move |registry| {
            registry.change_account(id, change.role, change.active, password.as_deref())
        })
        .await?;
    if !changed {
        return Err(last_administrator());
    }
    let (active, reset) = (
        if change.active { "" } else { ", shut out" },
        if reset { ", new password" } else { "" },
    );
    door.note(
        &caller,
        "person_changed",
        format!("{} as {}{active}{reset}", account.name, change.role),
    )
    .await;
    let now = Account {
        role: change.role,
        active: change.active,
        ..account
    };
    Ok(written(StatusCode::OK, &AccountView::new(&now)))
}

async fn tokens(State(door): State<Door>) -> Result<Response, Refusal> {
    let tokens = door.registry_call(crate::registry::Registry::tokens).await?;
    let tokens: Vec<TokenView> = tokens.iter().map(TokenView::new).collect();
    Ok(written(StatusCode::OK, &tokens))
}

async fn add_token(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
    body: Body,
) -> Result<Response, Refusal> {
    let new: TokenNew = read(body)?;
    // A program that can let others in could never be shut out again.
    if new.role == DeskRole::Administrator {
        return Err(Refusal::invalid(
            "role_too_great",
            "a program may not have the administrator's role",
        ));
    }
    let token = ApiToken {
        id: ApiTokenId(Uuid::now_v7()),
        name: name(&new.name)?,
        role: new.role,
        made_at: door.now(),
        revoked_at: None,
    };
    let secret = secret()?;
    let (kept, kept_secret) = (token.clone(), secret.clone());
    door.registry_call(move |registry| registry.add_token(&kept, &kept_secret))
        .await?;
    door.note(&caller, "token_made", format!("{} as {}", token.name, token.role))
        .await;
    Ok(written(
        StatusCode::OK,
        &TokenMade {
            token: TokenView::new(&token),
            secret,
        },
    ))
}

async fn revoke_token(
    State(door): State<Door>,
    Extension(caller): Extension<Caller>,
    Path(token): Path<String>,
) -> Result<Response, Refusal> {
    let unknown = || {
        Refusal::not_found(
            "unknown_token",
            "there is no such token that still opens anything",
        )
    };
    let id = ApiTokenId(token.parse().map_err(|_| unknown())?);
    let now = door.now();
    if !door
        .registry_call(move |registry| registry.revoke_token(id, now))
        .await?
    {
        return Err(unknown());
    }
    door.note(&caller, "token_revoked", id.0.to_string()).await;
    tokens(State(door)).await
}

/// Which part of the audit trail.
#[derive(Deserialize)]
struct AuditQuery {
    before: Option<i64>,
}

async fn audit(
    State(door): State<Door>,
    query: Result<Query<AuditQuery>, axum::extract::rejection::QueryRejection>,
) -> Result<Response, Refusal> {
    let Query(query) = query.map_err(|rejection| Refusal {
        status: StatusCode::BAD_REQUEST,
        code: "bad_query",
        message: rejection.body_text(),
    })?;
    let rows: Vec<AuditRow> = door
        .registry_call(move |registry| registry.audit(query.before, PAGE))
        .await?;
    let next = (rows.len() == PAGE as usize)
        .then(|| rows.last().map(|row| row.id))
        .flatten();
    Ok(written(StatusCode::OK, &AuditPage { rows, next }))
}

/// A name that can be shown on one line.
fn name(given: &str) -> Result<String, Refusal> {
    let name = given.trim();
    if name.is_empty() {
        return Err(Refusal::invalid("name_missing", "a name is needed"));
    }
    if name.chars().count() > NAME_LIMIT || name.chars().any(char::is_control) {
        return Err(Refusal::invalid(
            "bad_name",
            "the name is too long or has characters that cannot be shown",
        ));
    }
    Ok(name.to_owned())
}

async fn hashed(password: String) -> Result<String, Refusal> {
    off_thread(move || hash_password(&password))
        .await?
        .map_err(|error| match error {
            PasswordError::NotKept => Refusal::unable(error.code(), error.to_string()),
            _ => Refusal::invalid(error.code(), &error.to_string()),
        })
}

/// Passwords cost time on purpose; the server's own threads do not pay it.
async fn off_thread<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, Refusal> {
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|error| Refusal::unable("internal", error.to_string()))
}

fn secret() -> Result<String, Refusal> {
    let mut bytes = [0; 32];
    getrandom::fill(&mut bytes).map_err(|error| Refusal::unable("no_randomness", error.to_string()))?;
    Ok(turnwise_core::record::hex(&bytes))
}

fn secret_csrf() -> Result<String, Refusal> {
    secret()
}

fn set_cookie(response: &mut Response, cookie: &str) -> Result<(), Refusal> {
    let value =
        HeaderValue::from_str(cookie).map_err(|error| Refusal::unable("internal", error.to_string()))?;
    response.headers_mut().insert(header::SET_COOKIE, value);
    Ok(())
}

fn unknown_person() -> Refusal {
    Refusal::not_found("unknown_person", "there is no such person here")
}

fn last_administrator() -> Refusal {
    Refusal {
        status: StatusCode::CONFLICT,
        code: "last_administrator",
        message: "nobody would be left who can let people in".to_owned(),
    }
}
