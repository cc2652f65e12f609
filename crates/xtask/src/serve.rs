//! Serves the built page on loopback, with the headers a careful host would send.

use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Context, Result, anyhow};
use tiny_http::{Header, Method, Request, Response, Server};

use crate::house::{House, say};

/// The port when none is given.
pub const PORT: u16 = 8717;

/// Builds the page, then serves it until the person stops it.
pub fn serve(house: &House, port: u16) -> Result<()> {
    let site = crate::site::build(house)?;
    let server = listen(port)?;
    println!("Footing: {} (stop with Ctrl-C)", url(&server)?);
    answer(&server, &site);
    Ok(())
}

/// Serves a built page on any free port for as long as some work takes, which is told the URL.
pub fn during<T>(site: &Path, work: impl FnOnce(&str) -> Result<T>) -> Result<T> {
    let server = listen(0)?;
    let url = url(&server)?;
    std::thread::scope(|scope| {
        // The browser asks for several files at once.
        for _ in 0..4 {
            scope.spawn(|| answer(&server, site));
        }
        let done = work(&url);
        for _ in 0..4 {
            server.unblock();
        }
        done
    })
}

fn listen(port: u16) -> Result<Arc<Server>> {
    let server = Server::http(("127.0.0.1", port))
        .map_err(|error| anyhow!("{error}"))
        .with_context(|| {
            format!("cannot listen on 127.0.0.1:{port}; try another with `--port`, or 0 for any")
        })?;
    Ok(Arc::new(server))
}

fn url(server: &Server) -> Result<String> {
    let address = server
        .server_addr()
        .to_ip()
        .context("listening, but on no IP address")?;
    Ok(format!("http://{address}/"))
}

fn answer(server: &Server, site: &Path) {
    for request in server.incoming_requests() {
        let reply = reply(site, request.method(), request.url());
        send(request, reply);
    }
}

fn send(request: Request, reply: Reply) {
    let mut response = Response::new(
        reply.status.into(),
        Vec::new(),
        Cursor::new(reply.body.clone()),
        Some(reply.body.len()),
        None,
    );
    for (name, value) in &reply.headers {
        match Header::from_bytes(name.as_bytes(), value.as_bytes()) {
            Ok(header) => response.add_header(header),
            Err(()) => say(format!("not a header: {name}: {value}")),
        }
    }
    // A browser that went away meanwhile is no fault of the server.
    request.respond(response).ok();
}

struct Reply {
    status: u16,
    headers: Vec<(&'static str, String)>,
    body: Vec<u8>,
}

fn reply(site: &Path, method: &Method, url: &str) -> Reply {
    let mut headers = vec![
        ("X-Content-Type-Options", "nosniff".to_owned()),
        ("Referrer-Policy", "no-referrer".to_owned()),
        ("Cross-Origin-Opener-Policy", "same-origin".to_owned()),
        ("Cache-Control", "no-cache".to_owned()),
    ];
    let plain = |mut headers: Vec<(&'static str, String)>, status: u16, text: &str| {
        headers.push(("Content-Type", "text/plain; charset=utf-8".to_owned()));
        Reply {
            status,
            headers,
            body: text.as_bytes().to_vec(),
        }
    };
    if !matches!(method, Method::Get | Method::Head) {
        headers.push(("Allow", "GET, HEAD".to_owned()));
        return plain(headers, 405, "this server only gives files\n");
    }
    let Some(file) = resolve(site, url) else {
        return plain(headers, 404, "no such file\n");
    };
    let Ok(body) = std::fs::read(&file) else {
        return plain(headers, 404, "no such file\n");
    };
    let kind = media_type(&file);
    if kind.starts_with("text/html") {
        headers.push(("Content-Security-Policy", policy(&body)));
    } else if kind.starts_with("text/javascript") {
        headers.push(("Content-Security-Policy", script_policy(&file).to_owned()));
    }
    headers.push(("Content-Type", kind.to_owned()));
    Reply {
        status: 200,
        headers,
        body,
    }
}

/// The file a URL names, if it lies inside the site.
fn resolve(site: &Path, url: &str) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next().unwrap_or_default();
    let path = percent_decoded(path)?;
    let mut file = site.to_path_buf();
    for part in path.split('/').filter(|part| !part.is_empty()) {
        let plain = part != ".." && part != "." && !part.contains(['\\', '\0', ':']);
        if !plain {
            return None;
        }
        file.push(part);
    }
    if file.is_dir() {
        file.push("index.html");
    }
    // A link inside the site could still point out of it.
    let real = file.canonicalize().ok()?;
    real.starts_with(site.canonicalize().ok()?).then_some(file)
}

fn percent_decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((&first, after)) = rest.split_first() {
        if first == b'%' {
            let digits = std::str::from_utf8(after.get(..2)?).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = &after[2..];
        } else {
            bytes.push(first);
            rest = after;
        }
    }
    String::from_utf8(bytes).ok()
}

fn media_type(file: &Path) -> &'static str {
    match file.extension().and_then(|kind| kind.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json") => "application/json; charset=utf-8",
        Some("webmanifest") => "application/manifest+json; charset=utf-8",
        Some("csv") => "text/csv; charset=utf-8",
        Some("txt" | "md" | "ts") => "text/plain; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("ico") => "image/x-icon",
        Some("woff2") => "font/woff2",
        Some("wasm") => "application/wasm",
        _ => "application/octet-stream",
    }
}

/// The policy of a script that is started as a worker, which does not inherit the page's: only the
/// service worker fetches, and from its own host alone.
fn script_policy(file: &Path) -> &'static str {
    if file.file_name().is_some_and(|name| name == "sw.js") {
        "default-src 'none'; script-src 'self'; connect-src 'self'"
    } else {
        "default-src 'none'"
    }
}

/// The policy a page states in its own `<meta>`, as a header, with what only a header can say.
/// A page without one gets the strictest.
fn policy(html: &[u8]) -> String {
    let stated = std::str::from_utf8(html).ok().and_then(stated_policy);
    let stated = stated.unwrap_or_else(|| "default-src 'none'".to_owned());
    format!(
        "{}; frame-ancestors 'none'",
        stated.trim().trim_end_matches(';')
    )
}

/// The content of `<meta http-equiv="Content-Security-Policy" content="…">`.
pub fn stated_policy(html: &str) -> Option<String> {
    let mut rest = html;
    while let Some(start) = rest.find("<meta") {
        let tag = &rest[start..];
        // The policy's own quotes are single: the tag ends at the first `>` outside double ones.
        let mut quoted = false;
        let end = tag.find(|character| {
            quoted ^= character == '"';
            character == '>' && !quoted
        })?;
        let tag = &tag[..end];
        if tag.to_ascii_lowercase().contains("content-security-policy") {
            let content = tag.split(" content=\"").nth(1).or_else(|| {
                // The attribute may stand on a line of its own.
                tag.split("\ncontent=\"").nth(1)
            })?;
            let content = content.split('"').next()?;
            return Some(content.split_whitespace().collect::<Vec<_>>().join(" "));
        }
        rest = &rest[start + end..];
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{Read, Write};

    /// A site beside a file that must not be given away.
    fn site(name: &str) -> PathBuf {
        let folder =
            std::env::temp_dir().join(format!("xtask-serve-{name}-{}", std::process::id()));
        std::fs::remove_dir_all(&folder).ok();
        std::fs::create_dir_all(folder.join("site/pkg")).unwrap();
        std::fs::write(folder.join("secret.txt"), "secret").unwrap();
        let html = "<!doctype html><meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\"\n  \
                    content=\"default-src 'none';\n    script-src 'self'\">";
        std::fs::write(folder.join("site/index.html"), html).unwrap();
        std::fs::write(folder.join("site/pkg/a b.js"), "1").unwrap();
        std::fs::write(folder.join("site/sw.js"), "2").unwrap();
        folder
    }

    #[test]
    fn over_the_wire_files_are_given_and_nothing_outside_them() {
        let folder = site("wire");
        let server = listen(0).unwrap();
        let address = server.server_addr().to_ip().unwrap();
        let serving = Arc::clone(&server);
        let below = folder.join("site");
        let thread = std::thread::spawn(move || answer(&serving, &below));
        let ask = |line: &str| {
            let mut stream = std::net::TcpStream::connect(address).unwrap();
            write!(
                stream,
                "{line} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"
            )
            .unwrap();
            let mut text = String::new();
            stream.read_to_string(&mut text).unwrap();
            text
        };
        let index = ask("GET /?q=1");
        assert!(index.starts_with("HTTP/1.1 200"), "{index}");
        for header in [
            "Content-Type: text/html; charset=utf-8",
            "Content-Security-Policy: default-src 'none'; script-src 'self'; frame-ancestors 'none'",
            "X-Content-Type-Options: nosniff",
            "Referrer-Policy: no-referrer",
        ] {
            assert!(
                index.contains(&format!("{header}\r\n")),
                "{header}: {index}"
            );
        }
        let script = ask("GET /pkg/a%20b.js");
        assert!(script.contains("Content-Type: text/javascript"), "{script}");
        assert!(
            script.contains("Content-Security-Policy: default-src 'none'\r\n"),
            "{script}"
        );
        let keeper = ask("GET /sw.js");
        assert!(
            keeper.contains("script-src 'self'; connect-src 'self'\r\n"),
            "{keeper}"
        );
        for outside in [
            "/../secret.txt",
            "/pkg/../../secret.txt",
            "/%2e%2e/secret.txt",
            "/..%2fsecret.txt",
            "/..%5csecret.txt",
            "/%zz",
            "/absent.html",
        ] {
            let text = ask(&format!("GET {outside}"));
            assert!(text.starts_with("HTTP/1.1 404"), "{outside}: {text}");
            assert!(!text.contains("secret"), "{outside}: {text}");
        }
        assert!(ask("POST /").starts_with("HTTP/1.1 405"));
        let head = ask("HEAD /");
        assert!(
            head.starts_with("HTTP/1.1 200") && !head.contains("<!doctype"),
            "{head}"
        );
        server.unblock();
        thread.join().unwrap();
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[cfg(unix)]
    #[test]
    fn a_link_out_of_the_site_is_not_followed() {
        let folder = site("link");
        let below = folder.join("site");
        std::os::unix::fs::symlink(folder.join("secret.txt"), below.join("way-out")).unwrap();
        assert_eq!(resolve(&below, "/way-out"), None);
        assert!(resolve(&below, "/index.html").is_some());
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_page_without_a_policy_gets_the_strictest() {
        assert_eq!(
            policy(b"<!doctype html><meta name=\"a>b\" content=\"c\"><p>"),
            "default-src 'none'; frame-ancestors 'none'"
        );
    }
}
