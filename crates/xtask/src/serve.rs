//! Serves the built page on loopback, with the headers a careful host would send.

use std::convert::Infallible;
use std::future::ready;
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::{Context, Result};
use http_body_util::Full;
use hyper::body::Bytes;
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Response, StatusCode};
use hyper_util::rt::TokioIo;
use tokio::runtime::{Builder, Runtime};
use tokio::sync::oneshot;

use crate::house::{House, say};

/// The port when none is given.
pub const PORT: u16 = 8717;

/// Builds the page, then serves it until the person stops it.
pub fn serve(house: &House, port: u16) -> Result<()> {
    let site = crate::site::build(house)?;
    let listener = listen(port)?;
    println!("Footing: {} (stop with Ctrl-C)", url(&listener)?);
    let runtime = runtime()?;
    runtime.block_on(answer(listener, site))
}

/// Serves a built page on any free port for as long as some work takes, which is told the URL.
pub fn during<T>(site: &Path, work: impl FnOnce(&str) -> Result<T>) -> Result<T> {
    let listener = listen(0)?;
    let url = url(&listener)?;
    let runtime = runtime()?;
    std::thread::scope(|scope| {
        let (stop, stopped) = oneshot::channel::<()>();
        scope.spawn(move || {
            runtime.spawn(answer(listener, site.to_path_buf()));
            // Ends when the work is done, and also when it panics: both drop the sender. With the
            // runtime every connection ends.
            runtime.block_on(stopped).ok();
        });
        let done = work(&url);
        drop(stop);
        done
    })
}

fn listen(port: u16) -> Result<TcpListener> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).with_context(|| {
        format!("cannot listen on 127.0.0.1:{port}; try another with `--port`, or 0 for any")
    })?;
    listener.set_nonblocking(true)?;
    Ok(listener)
}

fn url(listener: &TcpListener) -> Result<String> {
    let address: SocketAddr = listener.local_addr()?;
    Ok(format!("http://{address}/"))
}

/// One thread carries all connections: the files are small and lie on this machine.
fn runtime() -> Result<Runtime> {
    Ok(Builder::new_current_thread().enable_all().build()?)
}

/// Takes every connection at once, so that none waits for one that a browser keeps open.
async fn answer(listener: TcpListener, site: PathBuf) -> Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    loop {
        let stream = match listener.accept().await {
            Ok((stream, _)) => stream,
            // The browser went away meanwhile, or too many files are open: the next may do.
            Err(error) => {
                say(format!("a connection was not taken: {error}"));
                tokio::time::sleep(Duration::from_millis(100)).await;
                continue;
            }
        };
        stream.set_nodelay(true).ok();
        let site = site.clone();
        tokio::spawn(async move {
            let service = service_fn(|request| {
                let reply = reply(&site, request.method(), request.uri().path());
                ready(Ok::<_, Infallible>(response(reply)))
            });
            // A browser that went away meanwhile is no fault of the server.
            http1::Builder::new()
                .serve_connection(TokioIo::new(stream), service)
                .await
                .ok();
        });
    }
}

fn response(reply: Reply) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::new(Bytes::from(reply.body)));
    *response.status_mut() = reply.status;
    for (name, value) in reply.headers {
        match HeaderValue::from_str(&value) {
            Ok(value) => {
                response.headers_mut().insert(name, value);
            }
            Err(_) => say(format!("not a header: {name}: {value}")),
        }
    }
    response
}

struct Reply {
    status: StatusCode,
    headers: Vec<(HeaderName, String)>,
    body: Vec<u8>,
}

fn reply(site: &Path, method: &Method, path: &str) -> Reply {
    let mut headers = vec![
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff".to_owned()),
        (header::REFERRER_POLICY, "no-referrer".to_owned()),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin".to_owned(),
        ),
        (header::CACHE_CONTROL, "no-cache".to_owned()),
    ];
    let plain = |mut headers: Vec<(HeaderName, String)>, status: StatusCode, text: &str| {
        headers.push((header::CONTENT_TYPE, "text/plain; charset=utf-8".to_owned()));
        Reply {
            status,
            headers,
            body: text.as_bytes().to_vec(),
        }
    };
    if !matches!(*method, Method::GET | Method::HEAD) {
        headers.push((header::ALLOW, "GET, HEAD".to_owned()));
        return plain(
            headers,
            StatusCode::METHOD_NOT_ALLOWED,
            "this server only gives files\n",
        );
    }
    let Some(file) = resolve(site, path) else {
        return plain(headers, StatusCode::NOT_FOUND, "no such file\n");
    };
    let Ok(body) = std::fs::read(&file) else {
        return plain(headers, StatusCode::NOT_FOUND, "no such file\n");
    };
    let kind = media_type(&file);
    if kind.starts_with("text/html") {
        headers.push((header::CONTENT_SECURITY_POLICY, policy(&body)));
    } else if kind.starts_with("text/javascript") {
        headers.push((
            header::CONTENT_SECURITY_POLICY,
            script_policy(&file).to_owned(),
        ));
    }
    headers.push((header::CONTENT_TYPE, kind.to_owned()));
    Reply {
        status: StatusCode::OK,
        headers,
        body,
    }
}

/// The file a URL's path names, if it lies inside the site.
fn resolve(site: &Path, path: &str) -> Option<PathBuf> {
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
        during(&folder.join("site"), |url| {
            is_given_alone(url);
            Ok(())
        })
        .unwrap();
        std::fs::remove_dir_all(&folder).unwrap();
    }

    fn address(url: &str) -> &str {
        url.trim_start_matches("http://").trim_end_matches('/')
    }

    fn is_given_alone(url: &str) {
        let ask = |line: &str| {
            let mut stream = std::net::TcpStream::connect(address(url)).unwrap();
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
            "content-type: text/html; charset=utf-8",
            "content-security-policy: default-src 'none'; script-src 'self'; frame-ancestors 'none'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
        ] {
            assert!(
                index.contains(&format!("{header}\r\n")),
                "{header}: {index}"
            );
        }
        let script = ask("GET /pkg/a%20b.js");
        assert!(script.contains("content-type: text/javascript"), "{script}");
        assert!(
            script.contains("content-security-policy: default-src 'none'\r\n"),
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
    }

    /// A browser opens up to six connections to a host and keeps them open: none may wait for
    /// another to close.
    #[test]
    fn six_connections_at_once_that_stay_open_are_all_answered() {
        let folder = site("six");
        let below = folder.join("site");
        let ask = |url: &str| -> Result<()> {
            let mut open = Vec::new();
            for _ in 0..6 {
                let stream = std::net::TcpStream::connect(address(url))?;
                stream.set_read_timeout(Some(Duration::from_secs(20)))?;
                open.push(stream);
            }
            for stream in &mut open {
                write!(stream, "GET /sw.js HTTP/1.1\r\nHost: localhost\r\n\r\n")?;
            }
            for (number, stream) in open.iter_mut().enumerate() {
                let mut text = Vec::new();
                let mut part = [0; 1024];
                while !text.ends_with(b"\r\n\r\n2") {
                    let size = stream
                        .read(&mut part)
                        .with_context(|| format!("connection {number} is not answered"))?;
                    anyhow::ensure!(size > 0, "connection {number} was closed");
                    text.extend_from_slice(&part[..size]);
                }
            }
            Ok(())
        };
        // A server that counts a free thread twice fails in a few of a hundred rounds.
        for _ in 0..100 {
            during(&below, ask).unwrap();
        }
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
