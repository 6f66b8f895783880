//! A headless Chromium on a desk with a real socket, driven by the keyboard.

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::error::CmdError;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Lines, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};
use vitta::desk::{Desk, Door, router};
use vitta::language::Language;
use vitta::shelf::Shelf;

pub const TAB: char = '\u{E004}';
pub const ENTER: char = '\u{E007}';
pub const ESCAPE: char = '\u{E00C}';
pub const CONTROL: char = '\u{E009}';

/// How long a page may take under the tests' own load before it counts as broken.
const PATIENCE: Duration = Duration::from_secs(60);

/// What the screen is like.
#[derive(Clone, Copy)]
pub struct Screen {
    pub width: u32,
    pub height: u32,
    pub dark: bool,
    pub language: &'static str,
}

pub const PHONE: Screen = Screen { width: 390, height: 844, dark: false, language: "en" };
pub const LAPTOP: Screen = Screen { width: 1280, height: 800, dark: false, language: "en" };

/// A browser and the desk it looks at, both gone at its end.
pub struct Browser {
    pub client: Client,
    pub address: String,
    pub folder: tempfile::TempDir,
    /// Keys pressed so far.
    pub pressed: usize,
    driver: Driver,
    _profile: tempfile::TempDir,
}

struct Driver {
    process: Child,
    port: u16,
    session: String,
    /// Kept open, so that it may go on talking.
    _said: Lines<BufReader<ChildStdout>>,
}

impl Driver {
    fn start() -> Self {
        let started = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn();
        let mut process = started.expect("chromedriver is missing: sh .ci/tests installs it");
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        // It first names the port asked for, 0, then the one it got.
        let port = lines.find_map(|line| {
            let line = line.ok()?;
            let port = line.split("on port ").nth(1)?.trim_end_matches('.').parse().ok()?;
            (port > 0).then_some(port)
        });
        let port = port.expect("chromedriver names its port");
        Driver { process, port, session: String::new(), _said: lines }
    }
}

impl Drop for Driver {
    /// Ends the browser before the driver, also where a test failed: a driver that is killed leaves its
    /// browser behind.
    fn drop(&mut self) {
        if let Ok(mut stream) = TcpStream::connect(("127.0.0.1", self.port)) {
            let _ = stream.set_read_timeout(Some(Duration::from_secs(5)));
            let ask = format!(
                "DELETE /session/{} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n",
                self.session
            );
            let _ = stream.write_all(ask.as_bytes());
            let _ = stream.read(&mut [0; 512]);
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

impl Browser {
    /// Opens the desk on a fresh shelf that `fill` puts books on.
    pub async fn open(screen: Screen, fill: impl FnOnce(&Shelf)) -> Browser {
        let folder = tempfile::tempdir().unwrap();
        let shelf = Shelf::at(folder.path());
        fill(&shelf);
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = format!("http://{}/", listener.local_addr().unwrap());
        let desk = router(Desk::new(shelf, Language::En, Door::loopback()));
        tokio::spawn(async move { axum::serve(listener, desk).await });
        let mut driver = Driver::start();
        let profile = tempfile::tempdir().unwrap();
        let webdriver = format!("http://127.0.0.1:{}", driver.port);
        let Value::Object(wanted) = capabilities(screen, profile.path().to_str().unwrap()) else {
            unreachable!("capabilities are an object")
        };
        let mut builder = ClientBuilder::new(HttpConnector::new());
        let client = builder.capabilities(wanted).connect(&webdriver).await.unwrap();
        driver.session = client.session_id().await.unwrap().unwrap();
        let browser = Browser { client, address, folder, pressed: 0, driver, _profile: profile };
        browser.client.goto(&format!("{}icon.svg", browser.address)).await.unwrap();
        let kept = format!("localStorage.setItem('language', '{}')", screen.language);
        browser.run(&kept).await;
        browser
    }

    pub fn shelf(&self) -> Shelf {
        Shelf::at(self.folder.path())
    }

    /// Goes to a view by its address and waits until it stands.
    pub async fn go(&self, view: &str) {
        self.client.goto("about:blank").await.unwrap();
        self.client.goto(&format!("{}#{view}", self.address)).await.unwrap();
        self.until("main > * h1").await;
    }

    pub async fn run(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    /// Whether `script` is true; not while the page is between two views.
    async fn holds(&self, script: &str) -> bool {
        let said: Result<Value, CmdError> =
            self.client.execute(&format!("return !!({script})"), Vec::new()).await;
        said.is_ok_and(|v| v == true)
    }

    /// Waits until a script is true.
    pub async fn when(&self, script: &str) {
        let since = Instant::now();
        while !self.holds(script).await {
            if since.elapsed() > PATIENCE {
                let page = self.run("return document.body.innerText").await;
                panic!("never: {script}\n{}", page.as_str().unwrap_or(""));
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Waits until something is on the page.
    pub async fn until(&self, selector: &str) {
        self.when(&format!("document.querySelector({})", json!(selector))).await;
    }

    /// Presses keys one after the other.
    pub async fn press(&mut self, keys: &[char]) {
        let mut actions = KeyActions::new("keyboard".into());
        for &value in keys {
            actions = actions.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        self.pressed += keys.len();
        self.client.perform_actions(actions).await.unwrap();
    }

    /// Presses a key while another is held.
    pub async fn press_with(&mut self, held: char, key: char) {
        let actions = KeyActions::new("keyboard".into())
            .then(KeyAction::Down { value: held })
            .then(KeyAction::Down { value: key })
            .then(KeyAction::Up { value: key })
            .then(KeyAction::Up { value: held });
        self.pressed += 2;
        self.client.perform_actions(actions).await.unwrap();
    }

    pub async fn write(&mut self, text: &str) {
        self.press(&text.chars().collect::<Vec<_>>()).await;
    }

    /// Goes forward with the tabulator until the element has the focus.
    pub async fn tab_to(&mut self, selector: &str) {
        self.until(selector).await;
        let there = format!("document.activeElement.matches({})", json!(selector));
        for _ in 0..150 {
            if self.holds(&there).await {
                return;
            }
            self.press(&[TAB]).await;
        }
        panic!("the keyboard never gets to {selector}");
    }

    /// Goes to a link or button and presses it.
    pub async fn choose(&mut self, selector: &str) {
        self.tab_to(selector).await;
        self.press(&[ENTER]).await;
    }

    /// What a person would pick in the system's own window for files, which no page can open by keys.
    pub async fn pick_file(&self, selector: &str, file: &str) {
        let field = self.client.find(Locator::Css(selector)).await.unwrap();
        field.send_keys(file).await.unwrap();
    }

    pub async fn text(&self, selector: &str) -> String {
        let script = format!("return document.querySelector({})?.innerText ?? ''", json!(selector));
        self.run(&script).await.as_str().unwrap().to_owned()
    }

    /// Ends the session in good order.
    pub async fn close(self) {
        let Browser { client, driver, .. } = self;
        drop(driver);
        drop(client);
    }
}

fn capabilities(screen: Screen, profile: &str) -> Value {
    let mut arguments: Vec<String> = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]
    .map(str::to_owned)
    .into();
    arguments.push(format!("--user-data-dir={profile}"));
    arguments.push(format!("--window-size={},{}", screen.width, screen.height));
    if screen.dark {
        arguments.push("--blink-settings=preferredColorScheme=0".into());
    }
    let mut options = json!({ "args": arguments });
    // A desktop window cannot be as narrow as a phone.
    if screen.width < 500 {
        let metrics = json!({ "width": screen.width, "height": screen.height, "pixelRatio": 2.0 });
        options["mobileEmulation"] = json!({ "deviceMetrics": metrics });
    }
    json!({ "browserName": "chrome", "goog:chromeOptions": options })
}
