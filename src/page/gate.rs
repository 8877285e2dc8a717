//! The order of checks before any page: host, origin, session, body.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use cookie::{Cookie, SameSite};
use http_body_util::{BodyExt, Full, LengthLimitError, Limited};
use hyper::body::{Body, Bytes, Incoming};
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::{HeaderMap, Method, Request, Response, StatusCode};

use crate::answers::serving::Serving;
use crate::answers::serving::phones::{Pairing, Phone, Phones};
use crate::ledger::error::interrupt;
use crate::page::ask::{Ask, open};
use crate::page::form::Form;
use crate::page::reply::{Answered, Reply, Trouble};
use crate::page::{acts, html, look};
use crate::values::names::name::Name;
use crate::values::time::clock::Clock;

/// Most bytes of a body, and how long it may take.
const MOST_BODY: usize = 64 << 10;
const BODY: Duration = Duration::from_secs(10);

/// Most bytes of a path.
const MOST_PATH: usize = 2_048;

/// The name of the cookie. A port does not keep cookies apart, so that two ledgers on one machine share it; each
/// knows only its own phones.
const COOKIE: &str = "jarledger";

/// A year: as long as a cookie may be asked to stay.
const COOKIE_DAYS: i64 = 365;

const SCRIPTS: [(&str, &str); 3] = [
    ("/page.js", include_str!("browser/page.js")),
    ("/scan.js", include_str!("browser/scan.js")),
    ("/qr.js", include_str!("browser/qr.js")),
];
const STYLE: &str = include_str!("browser/page.css");

/// Sent with everything.
static ALWAYS: [(&str, &str); 7] = [
    (
        "content-security-policy",
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' blob:; connect-src 'self'; \
         form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("cache-control", "no-store"),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    // Not `no-referrer`: with that a browser hides the origin of a form.
    ("referrer-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
];

/// Who may come in.
pub(super) struct Gate {
    serving: Serving,
    /// Host and port as in a Host header, each with its origin.
    hosts: Vec<(String, String)>,
}

impl Gate {
    pub(super) fn new(serving: Serving, hosts: &[String]) -> Self {
        let own = hosts.iter().map(|host| (host.clone(), format!("http://{host}")));
        let given = serving.origins.iter().filter_map(|origin| {
            let (_, host) = origin.split_once("://")?;
            Some((host.to_lowercase(), origin.to_lowercase()))
        });
        let hosts = own.chain(given).collect();
        Self { serving, hosts }
    }

    /// Our origin as this request names us; none: it does not mean us.
    fn origin(&self, headers: &HeaderMap) -> Option<&str> {
        let mut named = headers.get_all(header::HOST).iter();
        let host = named.next()?.to_str().ok()?;
        if named.next().is_some() {
            return None;
        }
        let found = self.hosts.iter().find(|(known, _)| known.eq_ignore_ascii_case(host))?;
        Some(&found.1)
    }
}

/// Answers one request, whatever it is.
pub(super) async fn answer(
    gate: Arc<Gate>,
    request: Request<Incoming>,
) -> Result<Response<Full<Bytes>>, Infallible> {
    let reply = checked(gate, request).await.unwrap_or_else(Trouble::into_reply);
    let mut response = Response::new(Full::new(Bytes::from(reply.body)));
    *response.status_mut() = reply.status;
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(reply.kind));
    for (name, value) in [(header::LOCATION, reply.location), (header::SET_COOKIE, reply.cookie)] {
        if let Some(value) = value.and_then(|value| HeaderValue::from_str(&value).ok()) {
            headers.insert(name, value);
        }
    }
    // The rest of a body that was not read must not be taken for the next request.
    if reply.status.is_client_error() {
        headers.insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    Ok(response)
}

async fn checked(gate: Arc<Gate>, request: Request<Incoming>) -> Answered {
    let (head, body) = request.into_parts();
    let Some(origin) = gate.origin(&head.headers) else {
        return Err(Trouble::new(StatusCode::MISDIRECTED_REQUEST, "This is not the address of a page here."));
    };
    let post = match head.method {
        Method::GET => false,
        Method::POST => true,
        _ => {
            return Err(Trouble::new(StatusCode::METHOD_NOT_ALLOWED, "Only GET and POST are answered here."));
        }
    };
    if post {
        let mut given = head.headers.get_all(header::ORIGIN).iter();
        let ours = given.next().is_some_and(|given| given.as_bytes().eq_ignore_ascii_case(origin.as_bytes()));
        if !ours || given.next().is_some() {
            return Err(Trouble::new(
                StatusCode::FORBIDDEN,
                "That came from another page; nothing was changed.",
            ));
        }
    }
    let path = head.uri.path().to_owned();
    let query = head.uri.query().unwrap_or_default().to_owned();
    if path.len() + query.len() > MOST_PATH || head.uri.host().is_some() {
        return Err(Trouble::new(StatusCode::URI_TOO_LONG, "That address is too long."));
    }
    if let Some((_, script)) = SCRIPTS.iter().find(|(at, _)| !post && *at == path) {
        return Ok(Reply::file("text/javascript; charset=utf-8", (*script).to_owned()));
    }
    if path == "/page.css" && !post {
        return Ok(Reply::file("text/css; charset=utf-8", STYLE.to_owned()));
    }
    let token = token(&head.headers);
    let pairs = path == "/pair";
    let knows = gate.clone();
    // The ledger and the phones are files: looked at on a thread of their own, a few at a time.
    let phone = aside(move || who(&knows, token.as_deref())).await?;
    let (phones, phone) = phone;
    if phone.is_none() && !pairs {
        return Ok(Reply {
            status: StatusCode::UNAUTHORIZED,
            ..Reply::page(html::unknown_phone(&if post { "/".to_owned() } else { link_to(&path, &query) }))
        });
    }
    let body = if post { read(body).await? } else { Bytes::new() };
    aside(move || {
        let now = (gate.serving.now)();
        let clock = Clock { now: now.at };
        let form = Form::read(if post { &body } else { query.as_bytes() });
        match phone {
            _ if pairs && post => pair(&phones, &form),
            _ if pairs => Ok(Reply::page(html::pair(form.get("code").unwrap_or_default()))),
            None => Err(Trouble::not_ours()),
            Some(phone) => {
                let ask = Ask { serving: &gate.serving, phone: &phone, clock, now, form };
                if post { acts::act(&ask, &path) } else { look::look(&ask, &path) }
            }
        }
    })
    .await
}

/// A link to what was asked for. An address that begins with two slashes would lead to another machine.
fn link_to(path: &str, query: &str) -> String {
    let path = path.trim_start_matches(['/', '\\']);
    if query.is_empty() { format!("/{path}") } else { format!("/{path}?{query}") }
}

/// Does what waits for files on a thread of its own.
async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Trouble> + Send + 'static,
) -> Result<T, Trouble> {
    let done = tokio::task::spawn_blocking(work).await;
    // Somebody asked the program to stop while a page was being written down.
    if interrupt::asked() {
        std::process::exit(0);
    }
    done.unwrap_or_else(|_| {
        Err(Trouble::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "The page could not be made; look at the ledger.",
        ))
    })
}

/// The phones of the ledger that stands there now, and the one that asks.
fn who(gate: &Gate, token: Option<&str>) -> Result<(Phones, Option<Phone>), Trouble> {
    let ledger = open(&gate.serving.ledger)?;
    let phones = Phones::of(ledger.uuid()).map_err(unreadable)?;
    let phone = match token {
        Some(token) => phones.who_shows(token).map_err(unreadable)?,
        None => None,
    };
    Ok((phones, phone))
}

fn unreadable(error: std::io::Error) -> Trouble {
    Trouble::new(StatusCode::INTERNAL_SERVER_ERROR, format!("The list of phones could not be read: {error}"))
}

fn token(headers: &HeaderMap) -> Option<String> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(Cookie::split_parse)
        .filter_map(Result::ok)
        .find(|cookie| cookie.name() == COOKIE)
        .map(|cookie| cookie.value().to_owned())
}

async fn read(body: Incoming) -> Result<Bytes, Trouble> {
    let too_long =
        || Trouble::new(StatusCode::PAYLOAD_TOO_LARGE, "That is too much at once; nothing was changed.");
    if body.size_hint().lower() > MOST_BODY as u64 {
        return Err(too_long());
    }
    let read = tokio::time::timeout(BODY, Limited::new(body, MOST_BODY).collect()).await;
    match read {
        Err(_) => Err(Trouble::new(StatusCode::REQUEST_TIMEOUT, "That took too long; nothing was changed.")),
        Ok(Err(error)) if error.is::<LengthLimitError>() => Err(too_long()),
        Ok(Err(_)) => Err(Trouble::bad("That did not arrive complete; nothing was changed.")),
        Ok(Ok(body)) => Ok(body.to_bytes()),
    }
}

fn pair(phones: &Phones, form: &Form) -> Answered {
    let name = form.get("name").and_then(|name| name.parse::<Name>().ok());
    let name = name.as_ref().map_or("phone", Name::as_str);
    let code = form.get("code").unwrap_or_default();
    // The age of a code counts by the machine's clock, not by the day given with --today.
    match phones.pair(code, name, std::time::SystemTime::now().into()).map_err(unreadable)? {
        Pairing::Paired(token) => {
            let cookie = Cookie::build((COOKIE, token))
                .http_only(true)
                .same_site(SameSite::Strict)
                .path("/")
                .max_age(cookie::time::Duration::days(COOKIE_DAYS));
            Ok(Reply { cookie: Some(cookie.to_string()), ..Reply::go_to("/".to_owned()) })
        }
        Pairing::Wrong => Err(Trouble::new(
            StatusCode::FORBIDDEN,
            "That code is wrong, used or older than 10 minutes. `jarledger serve pair` makes a new one.",
        )),
        Pairing::TooMany => {
            Err(Trouble::new(StatusCode::TOO_MANY_REQUESTS, "Too many tries: wait a minute, then try again."))
        }
    }
}
