//! The built pages, carried inside the program.

use axum::http::{HeaderValue, StatusCode, Uri, header};
use axum::response::{Html, IntoResponse, Response};
use rust_embed::RustEmbed;

#[derive(RustEmbed)]
#[folder = "../ui/dist"]
#[allow_missing = true]
struct Built;

/// Everything from this server, nothing from elsewhere, nobody around it. Styles set on single elements are
/// how a drawing is turned and placed.
const POLICY: &str = "default-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' blob: data:; \
                      object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Which page stands at `/`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// The crew's.
    Tablet,
    /// The office's.
    Office,
}

impl Page {
    fn file(self) -> &'static str {
        match self {
            Self::Tablet => "index.html",
            Self::Office => "office.html",
        }
    }
}

/// A file of the built pages; `/` is the server's own page.
pub fn asset(page: Page, uri: &Uri) -> Response {
    let path = match uri.path().trim_start_matches('/') {
        "" => page.file(),
        path => path,
    };
    let mut response = match Built::get(path) {
        Some(file) => (
            [
                (header::CONTENT_TYPE, HeaderValue::from_static(content_type(path))),
                (header::CACHE_CONTROL, HeaderValue::from_static(caching(path))),
            ],
            file.data.into_owned(),
        )
            .into_response(),
        None if Built::get(page.file()).is_none() => not_built(),
        None => (StatusCode::NOT_FOUND, "There is nothing at this address.").into_response(),
    };
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    headers.insert(
        header::X_CONTENT_TYPE_OPTIONS,
        HeaderValue::from_static("nosniff"),
    );
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    response
}

/// Built files carry their content's hash in their names; a page does not.
fn caching(path: &str) -> &'static str {
    if path.starts_with("assets/") {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    }
}

fn content_type(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" | "map" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// A program that was built before its pages were still serves data; it says so instead of an empty page.
fn not_built() -> Response {
    (
        StatusCode::SERVICE_UNAVAILABLE,
        Html(
            "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Turnwise: pages not built</title>\
             <h1>The pages are not in this program</h1>\
             <p>It was compiled before they were built. Build them, then the program again:</p>\
             <pre>cd ui &amp;&amp; npm ci &amp;&amp; npm run build\ncargo build -p turnwise-cli</pre>\
             <p>The data of this server are served all the same.</p></html>",
        ),
    )
        .into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn get(path: &str) -> Response {
        asset(Page::Office, &path.parse().unwrap())
    }

    #[test]
    fn pages_that_were_built_are_in_the_program() {
        // The program is compiled again whenever the folder changes, so what is on the disk is what it carries.
        let built = concat!(env!("CARGO_MANIFEST_DIR"), "/../ui/dist/office.html");
        let on_disk = std::path::Path::new(built).exists();
        assert_eq!(Built::get("office.html").is_some(), on_disk);
    }

    #[test]
    fn a_program_without_pages_says_so() {
        let response = not_built();
        assert_eq!(response.status(), StatusCode::SERVICE_UNAVAILABLE);
        assert_eq!(
            response.headers()[header::CONTENT_TYPE],
            "text/html; charset=utf-8"
        );
    }

    #[test]
    fn every_answer_says_where_its_parts_may_come_from() {
        for path in ["/", "/nothing-here", "/../Cargo.toml"] {
            let policy = get(path).headers()[header::CONTENT_SECURITY_POLICY].clone();
            assert!(policy.to_str().unwrap().starts_with("default-src 'self';"));
        }
    }

    #[test]
    fn nothing_outside_the_built_pages_is_served() {
        for path in [
            "/../Cargo.toml",
            "/..%2fCargo.toml",
            "//etc/passwd",
            "/nothing-here.js",
        ] {
            assert!(!get(path).status().is_success());
        }
    }

    #[test]
    fn a_script_is_sent_as_a_script() {
        assert_eq!(
            content_type("assets/main-4f2a.js"),
            "text/javascript; charset=utf-8"
        );
        assert_eq!(content_type("assets/noto.woff2"), "font/woff2");
        assert_eq!(content_type("no-ending"), "application/octet-stream");
    }
}
