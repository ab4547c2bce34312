package report

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// chromium is a browser without a window, spoken to over its debugging pipe: one JSON message
// after the other, each ended by a zero byte (--remote-debugging-pipe; Chrome DevTools Protocol).
type chromium struct {
	t       testing.TB
	to      *os.File
	from    *bufio.Reader
	session string
	last    int
	events  []chromiumMessage // those that came while answers were awaited
}

type chromiumMessage struct {
	ID     int             `json:"id"`
	Method string          `json:"method"`
	Params json.RawMessage `json:"params"`
	Result json.RawMessage `json:"result"`
	Error  *struct {
		Message string `json:"message"`
	} `json:"error"`
}

// noChromium is what a test says that cannot look at a page.
const noChromium = "NOT LOOKED AT: no chromium on the path; install it (Debian: apt-get install chromium fonts-liberation poppler-utils)"

// startChromium starts a browser that reaches no network, or skips the test where there is none.
func startChromium(t testing.TB) *chromium {
	t.Helper()
	program, err := exec.LookPath(cmp.Or(os.Getenv("STANCHION_CHROMIUM"), "chromium"))
	if err != nil {
		t.Skip(noChromium)
	}
	hearing, to, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	from, telling, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	browser := exec.Command(program, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--host-resolver-rules=MAP * ~NOTFOUND",
		"--user-data-dir="+t.TempDir())
	browser.ExtraFiles = []*os.File{hearing, telling} // its descriptors 3 and 4
	if err := browser.Start(); err != nil {
		t.Fatal(err)
	}
	hearing.Close()
	telling.Close()
	c := &chromium{t: t, to: to, from: bufio.NewReader(from)}
	if err := from.SetReadDeadline(time.Now().Add(2 * time.Minute)); err != nil {
		t.Logf("the browser is awaited without limit: %v", err)
	}
	t.Cleanup(func() {
		c.say("Browser.close", nil)
		to.Close()
		if err := browser.Wait(); err != nil {
			t.Logf("chromium: %v", err)
		}
		from.Close()
	})
	var target struct{ TargetID string }
	c.ask("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	var session struct{ SessionID string }
	c.ask("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &session)
	c.session = session.SessionID
	for _, domain := range []string{"Page", "Network", "Runtime", "Log"} {
		c.ask(domain+".enable", nil, nil)
	}
	return c
}

// say sends one message.
func (c *chromium) say(method string, params any) {
	c.last++
	if params == nil {
		params = struct{}{}
	}
	message := map[string]any{"id": c.last, "method": method, "params": params}
	if c.session != "" {
		message["sessionId"] = c.session
	}
	data, err := json.Marshal(message)
	if err == nil {
		_, err = c.to.Write(append(data, 0))
	}
	if err != nil {
		c.t.Errorf("%s: %v", method, err)
	}
}

// ask sends one message and waits for its answer.
func (c *chromium) ask(method string, params, answer any) {
	c.t.Helper()
	c.say(method, params)
	for {
		m := c.hear()
		if m.ID != c.last {
			c.events = append(c.events, m)
			continue
		}
		if m.Error != nil {
			c.t.Fatalf("%s: %s", method, m.Error.Message)
		}
		if answer == nil {
			return
		}
		if err := json.Unmarshal(m.Result, answer); err != nil {
			c.t.Fatalf("%s: %v", method, err)
		}
		return
	}
}

func (c *chromium) hear() (m chromiumMessage) {
	c.t.Helper()
	data, err := c.from.ReadBytes(0)
	if err == nil {
		err = json.Unmarshal(data[:len(data)-1], &m)
	}
	if err != nil {
		c.t.Fatalf("listening to chromium: %v", err)
	}
	return m
}

// open loads a page from a file and returns all that it asked for and all that the console says.
func (c *chromium) open(file string) (asked, said []string) {
	c.t.Helper()
	whole, err := filepath.Abs(file)
	if err != nil {
		c.t.Fatal(err)
	}
	c.events = nil
	c.ask("Page.navigate", map[string]any{"url": "file://" + whole}, nil)
	heard := 0
	for loaded := false; !loaded; {
		for ; heard < len(c.events); heard++ {
			switch e := &c.events[heard]; e.Method {
			case "Page.loadEventFired":
				loaded = true
			case "Network.requestWillBeSent":
				var p struct{ Request struct{ URL string } }
				if err := json.Unmarshal(e.Params, &p); err != nil {
					c.t.Fatal(err)
				}
				asked = append(asked, p.Request.URL)
			case "Runtime.consoleAPICalled", "Runtime.exceptionThrown", "Log.entryAdded":
				said = append(said, string(e.Params))
			}
		}
		if !loaded {
			c.events = append(c.events, c.hear())
		}
	}
	return asked, said
}

// evaluate returns what an expression comes to on the page, by way of JSON.
func (c *chromium) evaluate(expression string, value any) {
	c.t.Helper()
	var answer struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails json.RawMessage
	}
	c.ask("Runtime.evaluate", map[string]any{"expression": expression, "awaitPromise": true, "returnByValue": true}, &answer)
	if answer.ExceptionDetails != nil {
		c.t.Fatalf("on the page: %s", answer.ExceptionDetails)
	}
	if value == nil {
		return
	}
	if err := json.Unmarshal(answer.Result.Value, value); err != nil {
		c.t.Fatalf("%.200s: %v", expression, err)
	}
}

// see sets the width of the window and whether the page is light or dark.
func (c *chromium) see(width, height int, scheme string) {
	c.t.Helper()
	c.ask("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false}, nil)
	c.ask("Emulation.setEmulatedMedia", map[string]any{"features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}}}, nil)
}

// keepPictures leaves the whole page as people see it, light, dark, wide and narrow, and its print, in the
// folder of what the test made, which outlives it with -artifacts.
func (c *chromium) keepPictures(folder string) {
	c.t.Helper()
	keep := func(name string, data []byte) {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o666); err != nil {
			c.t.Error(err)
		}
	}
	for name, width := range map[string]int{"light.png": 1000, "dark.png": 1000, "wide.png": 1600, "narrow.png": 400} {
		scheme := "light"
		if name == "dark.png" {
			scheme = "dark"
		}
		c.see(width, 900, scheme)
		var answer struct{ Data []byte }
		c.ask("Page.captureScreenshot", map[string]any{"captureBeyondViewport": true}, &answer)
		keep(name, answer.Data)
	}
	keep("print.pdf", c.print(8.27, 11.69))
}

// print returns the page on sheets of a size, inches, as a PDF.
func (c *chromium) print(width, height float64) []byte {
	c.t.Helper()
	c.ask("Emulation.clearDeviceMetricsOverride", nil, nil)
	var answer struct{ Data []byte }
	c.ask("Page.printToPDF", map[string]any{"paperWidth": width, "paperHeight": height}, &answer)
	return answer.Data
}

// A page asks for nothing, says nothing on the console, fits its window at every width, can be read
// light and dark, and prints on A4 and Letter with all that is folded.
func TestPageInChromium(t *testing.T) {
	c := startChromium(t)
	folder := t.TempDir()
	for name, page := range lookedAt(t) {
		file := filepath.Join(folder, name+".html")
		if err := os.WriteFile(file, page, 0o666); err != nil {
			t.Fatal(err)
		}
		asked, said := c.open(file)
		if len(asked) != 1 || !strings.HasPrefix(asked[0], "file://") {
			t.Errorf("%s: the page asks for %q, want itself alone", name, asked)
		}
		if len(said) > 0 {
			t.Errorf("%s: the console says %s", name, said)
		}
		for _, width := range []int{320, 400, 800, 1600} {
			c.see(width, 900, "light")
			var wide int
			c.evaluate("document.documentElement.scrollWidth", &wide)
			if wide > width {
				t.Errorf("%s: %d px wide in a window of %d", name, wide, width)
			}
		}
		var cut []string
		c.evaluate(wordsCut, &cut)
		if len(cut) > 0 {
			t.Errorf("%s: a wide font cuts %q", name, cut)
		}
		var colours [2][2]string
		for i, scheme := range []string{"light", "dark"} {
			c.see(1000, 900, scheme)
			c.evaluate("[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]", &colours[i])
		}
		if colours[0] != [2]string{"rgb(20, 20, 20)", "rgb(255, 255, 255)"} || colours[1] != [2]string{"rgb(235, 232, 225)", "rgb(22, 23, 25)"} {
			t.Errorf("%s: ink and paper are %v light and dark", name, colours)
		}
		for _, sheet := range [][2]float64{{8.27, 11.69}, {8.5, 11}} { // A4 and Letter
			c.isPrinted(name, c.print(sheet[0], sheet[1]), page)
		}
		if name == "gallery" {
			c.keepPictures(t.ArtifactDir())
		}
	}
}

// wordsCut returns the words of drawings that reach beyond their sheet where the reader has a wider font
// than those that are named. Words of a user's in other letters have no length of their own.
const wordsCut = `[...document.querySelectorAll("svg[font-family]")].flatMap(svg => {
	const named = svg.getAttribute("font-family")
	svg.setAttribute("font-family", "monospace")
	const sheet = svg.getBoundingClientRect()
	const cut = [...svg.querySelectorAll("text[textLength]")].filter(text => {
		const box = text.getBoundingClientRect()
		return box.left < sheet.left - 1 || box.right > sheet.right + 1
	}).map(text => text.textContent)
	svg.setAttribute("font-family", named)
	return cut
})`

// isPrinted tests that what is folded is in the print of a page, under its heads, and that each sheet has
// C1 and its number at its foot and no heading above that.
func (c *chromium) isPrinted(name string, pdf, page []byte) {
	c.t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		c.t.Log("NOT LOOKED AT: no pdftotext on the path, so that prints are not read; install it (Debian: apt-get install poppler-utils)")
		return
	}
	read := exec.Command(reader, "-layout", "-", "-")
	read.Stdin = strings.NewReader(string(pdf))
	printed, err := read.Output()
	if err != nil {
		c.t.Fatalf("%s: reading the print: %v", name, err)
	}
	headings := map[string]bool{}
	for _, h := range elements(parsed(c.t, page), "h2") {
		headings[words(h)] = true
	}
	sheets := strings.Split(strings.TrimSuffix(string(printed), "\f"), "\f")
	for i, sheet := range sheets {
		foot := strings.ReplaceAll(sheet, " ", "")
		if want := fmt.Sprintf("%d/%d\n", i+1, len(sheets)); !strings.HasSuffix(foot, want) || !strings.Contains(foot, "C1Thisisapre-check.") {
			c.t.Errorf("%s: sheet %d has no %q or no caution at its foot", name, i+1, want)
		}
		lines := slices.DeleteFunc(strings.Split(sheet, "\n"), func(line string) bool { return strings.TrimSpace(line) == "" })
		if n := len(lines); n > 1 && headings[strings.TrimSpace(lines[n-2])] {
			c.t.Errorf("%s: sheet %d ends in the heading %q", name, i+1, lines[n-2])
		}
	}
	text := strings.Join(strings.Fields(string(printed)), " ")
	for _, details := range elements(parsed(c.t, page), "details") {
		if attribute(details, "class") != "working" {
			continue
		}
		division := elements(details, "p")
		if last := words(division[len(division)-1]); !strings.Contains(text, last) {
			c.t.Errorf("%s: %q of what is folded is not printed", name, last)
		}
	}
	steps := strings.Count(text, "formula, with the values put in")
	if folded := len(elements(parsed(c.t, page), "details")) - 1; steps < folded { // one is the contents
		c.t.Errorf("%s: %d heads of steps are printed, for %d workings", name, steps, folded)
	}
}

// An engine for accessibility finds nothing to object to, with all folded and unfolded.
func TestPageIsAccessible(t *testing.T) {
	engine := os.Getenv("STANCHION_AXE")
	if engine == "" {
		t.Skip("NOT LOOKED AT: STANCHION_AXE names no axe.min.js; get it with npm pack axe-core, and set it to package/axe.min.js of that archive")
	}
	script, err := os.ReadFile(engine)
	if err != nil {
		t.Fatal(err)
	}
	c := startChromium(t)
	folder := t.TempDir()
	for name, page := range lookedAt(t) {
		file := filepath.Join(folder, name+".html")
		if err := os.WriteFile(file, page, 0o666); err != nil {
			t.Fatal(err)
		}
		c.open(file)
		c.evaluate(string(script)+";0", nil)
		for scheme, width := range map[string]int{"light": 400, "dark": 1600} {
			c.see(width, 900, scheme)
			c.isAccessible(fmt.Sprintf("%s, %s, %d px", name, scheme, width))
		}
		c.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)", nil)
		c.isAccessible(name + ", unfolded")
	}
}

func (c *chromium) isAccessible(what string) {
	c.t.Helper()
	var found struct {
		Violations []struct {
			ID, Help string
			Nodes    []struct{ HTML, FailureSummary string }
		}
		Passes int
	}
	c.evaluate("axe.run().then(r => ({violations: r.violations.map(v => ({id: v.id, help: v.help, nodes: v.nodes.slice(0, 3).map(n => ({html: n.html.slice(0, 300), failureSummary: n.failureSummary}))})), passes: r.passes.length}))", &found)
	for _, v := range found.Violations {
		c.t.Errorf("%s: %s: %s: %v", what, v.ID, v.Help, v.Nodes)
	}
	if found.Passes < 20 {
		c.t.Errorf("%s: only %d rules of the engine were used", what, found.Passes)
	}
}
