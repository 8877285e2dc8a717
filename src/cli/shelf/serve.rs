use std::io::Write as _;

use fast_qr::QRBuilder;
use serde::Serialize;

use crate::answers::serving::phones::{Phone, Phones};
use crate::answers::serving::{Serve, Serving};
use crate::cli::arguments::page_address::{PORT, origin};
use crate::cli::context::Context;
use crate::cli::context::machine_clock;
use crate::cli::errors::{Code, Failure};
use crate::cli::global_args::GlobalArgs;
use crate::cli::global_args::instant;
use crate::cli::talk::screen::Screen;
use crate::cli::talk::stderr::complain;
use crate::cli::talk::stdout::stdout;

/// Serve the page at the shelf to the household's phones, until it is stopped
#[derive(Debug, clap::Args)]
#[command(after_long_help = include_str!("serve.txt"))]
pub(in crate::cli) struct Args {
    #[command(subcommand)]
    then: Option<Then>,
    /// The port; 0 takes any that is free
    #[arg(long, default_value_t = PORT)]
    port: u16,
    /// Let phones on the network in, not this machine alone: whoever shares the network can overhear it
    #[arg(long)]
    lan: bool,
    /// Another address it is asked under, such as `https://shelf.example` for a proxy in front; may be given again
    #[arg(long = "origin", value_name = "ADDRESS", value_parser = origin)]
    origins: Vec<String>,
}

#[derive(Debug, clap::Subcommand)]
enum Then {
    /// Make a new code to pair one more phone with the page that is being served
    Pair,
    /// List the paired phones, or forget one
    Phones {
        /// Forget this phone
        #[arg(long, value_name = "NAME")]
        revoke: Option<String>,
    },
}

#[derive(Serialize)]
struct Listening {
    url: String,
    pair_url: String,
    urls: Vec<String>,
}

#[derive(Serialize)]
struct Listed {
    phones: Vec<PhoneListed>,
}

#[derive(Serialize)]
struct PhoneListed {
    name: String,
    since: String,
}

#[derive(Serialize)]
struct NewCode {
    code: String,
}

pub(in crate::cli) fn run(
    args: Args,
    global: &GlobalArgs,
    serve: Serve,
    ctx: &Context,
    screen: &mut Screen,
) -> Result<(), Failure> {
    let phones = Phones::of(ctx.open()?.uuid()).map_err(unkept)?;
    match args.then {
        None => {}
        Some(Then::Pair) => {
            let code = phones.new_code(machine_clock().to_utc()).map_err(unkept)?;
            if screen.json() {
                return screen.answer(&NewCode { code });
            }
            screen.say(format!("Pairing code, good once within 10 minutes: {code}"));
            return Ok(());
        }
        Some(Then::Phones { revoke: Some(name) }) => {
            if !phones.revoke(&name).map_err(unkept)? {
                return Err(Failure::new(
                    Code::NotFound,
                    format!("no phone is called {name}; nothing was changed"),
                    "`jarledger serve phones` lists them",
                ));
            }
            if screen.json() {
                return screen.answer(&listed(phones.list().map_err(unkept)?));
            }
            screen.say(format!("{name} is forgotten: it has to be paired again."));
            return Ok(());
        }
        Some(Then::Phones { revoke: None }) => {
            let listed = listed(phones.list().map_err(unkept)?);
            if screen.json() {
                return screen.answer(&listed);
            }
            if listed.phones.is_empty() {
                screen.say("No phone is paired.");
            }
            for phone in &listed.phones {
                screen.say(format!("{}, paired {}", phone.name, phone.since));
            }
            return Ok(());
        }
    }
    let code = phones.new_code(machine_clock().to_utc()).map_err(unkept)?;
    let fixed = global.clone();
    let serving = Serving {
        ledger: ctx.path.clone(),
        port: args.port,
        lan: args.lan,
        origins: args.origins,
        now: Box::new(move || instant(&fixed)),
    };
    let json = screen.json();
    serve(serving, &|hosts| announce(hosts, &code, json)).map_err(|error| {
        Failure::new(
            Code::Io,
            format!("the page cannot be served on port {}: {error}", args.port),
            "another program may have that port: give --port NUMBER, or --port 0 for any that is free",
        )
    })
}

fn listed(phones: Vec<Phone>) -> Listed {
    let phones = phones.into_iter();
    Listed {
        phones: phones
            .map(|phone| PhoneListed { name: phone.name, since: phone.since.to_rfc3339() })
            .collect(),
    }
}

/// Says where the page is, at once: the command does not end here.
fn announce(hosts: &[String], code: &str, json: bool) {
    let urls: Vec<String> = hosts.iter().map(|host| format!("http://{host}/")).collect();
    let url = urls[0].clone();
    let pair_url = format!("{url}pair?code={code}");
    let mut text = String::new();
    if json {
        text = serde_json::json!(Listening { url, pair_url, urls }).to_string() + "\n";
    } else {
        text.push_str(&format!("The page is at {url}\n"));
        if let Ok(qr) = QRBuilder::new(pair_url.as_str()).build() {
            text.push_str(&qr.to_str());
            text.push('\n');
        }
        text.push_str(&format!("Pair a phone, once, within 10 minutes: {pair_url}\n"));
        if urls.len() > 1 {
            text.push_str(&format!("Also at {}\n", urls[1..].join(" ")));
        }
        text.push_str("Ctrl-C stops it; nothing is lost.\n");
    }
    let written = stdout().and_then(|mut to| to.write_all(text.as_bytes()).and_then(|()| to.flush()));
    if let Err(error) = written {
        complain(&format!("the address could not be written: {error}"));
    }
}

fn unkept(error: std::io::Error) -> Failure {
    Failure::new(
        Code::Io,
        format!("the list of phones cannot be kept: {error}; nothing was changed"),
        "look at the folder of XDG_STATE_HOME, or ~/.local/state",
    )
}
