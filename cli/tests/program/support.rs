//! A running program, and HTTP in its plainest form.

use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};

/// A `turnwise tablet` or `turnwise office` that has said where it is.
pub struct Program {
    child: Child,
    /// Where it is.
    pub address: SocketAddr,
    /// Its start token.
    pub token: String,
}

impl Program {
    /// A tablet with its data in `data`.
    pub fn tablet(data: &Path) -> Self {
        Self::start(&["tablet", "--person", "Ana Ruiz"], data)
    }

    /// An office with its data in `data`.
    pub fn office(data: &Path) -> Self {
        Self::start(&["office"], data)
    }

    /// An office whose owner's procedure files are in `procedures`.
    pub fn office_with_procedures(data: &Path, procedures: &Path) -> Self {
        let procedures = procedures.to_str().unwrap();
        Self::start(&["office", "--procedures", procedures], data)
    }

    fn start(arguments: &[&str], data: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_turnwise"))
            .args(arguments)
            .args(["--listen", "127.0.0.1:0", "--data"])
            .arg(data)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let url = line.split_once("http://").unwrap().1.trim();
        let (address, token) = url.split_once("/#token=").unwrap();
        Self {
            child,
            address: address.parse().unwrap(),
            token: token.to_owned(),
        }
    }

    /// One request with the token.
    pub fn ask(&self, method: &str, path: &str, body: &str) -> std::io::Result<Answer> {
        ask_with_token(self.address, &self.token, method, path, body)
    }

    /// One request with these headers and no other.
    pub fn ask_with(&self, method: &str, path: &str, headers: &[&str]) -> Answer {
        ask(self.address, method, path, headers, "").unwrap()
    }

    /// Ends it at once, as a dead battery does.
    pub fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Asks it to end, as the system does.
    pub fn terminate(mut self) -> ExitStatus {
        // The shell's own, since not every system has the program.
        let kill = format!("kill -TERM {}", self.child.id());
        let asked = Command::new("sh").args(["-c", &kill]).status().unwrap();
        assert!(asked.success());
        self.child.wait().unwrap()
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One command to a tablet that may be killed meanwhile.
pub fn command(to: SocketAddr, token: &str, body: &str) -> std::io::Result<Answer> {
    ask_with_token(to, token, "POST", "/api/command", body)
}

fn ask_with_token(
    to: SocketAddr,
    token: &str,
    method: &str,
    path: &str,
    body: &str,
) -> std::io::Result<Answer> {
    let (host, bearer) = (format!("Host: {to}"), format!("Authorization: Bearer {token}"));
    ask(to, method, path, &[&host, &bearer], body)
}

/// What came back.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Answer {
    /// The body as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap()
    }

    /// The code of a refusal.
    pub fn code(&self) -> String {
        self.json()["code"].as_str().unwrap().to_owned()
    }
}

fn ask(to: SocketAddr, method: &str, path: &str, headers: &[&str], body: &str) -> std::io::Result<Answer> {
    let mut socket = TcpStream::connect(to)?;
    let mut request = format!(
        "{method} {path} HTTP/1.1\r\nConnection: close\r\nContent-Length: {}\r\n",
        body.len()
    );
    for header in headers {
        request.push_str(header);
        request.push_str("\r\n");
    }
    socket.write_all(format!("{request}\r\n{body}").as_bytes())?;
    let mut answer = String::new();
    socket.read_to_string(&mut answer)?;
    let cut_short = || std::io::Error::other("the answer was cut short");
    let (head, body) = answer.split_once("\r\n\r\n").ok_or_else(cut_short)?;
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
    Ok(Answer {
        status: status.ok_or_else(cut_short)?,
        head: head.to_lowercase(),
        body: body.to_owned(),
    })
}
