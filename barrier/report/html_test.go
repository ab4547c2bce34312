package report

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
)

func page(t testing.TB, r *check.Result, o TextOptions) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := HTML(&out, r, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// worked is the fixture with a trail.
func worked() *check.Result {
	r := fixture()
	r.Trails = trailsOf(r, 1, bendingSteps())
	return r
}

// resultOf is the result of a whole barrier, as a report on sheets has it.
func resultOf(t testing.TB, name string) (*check.Result, quantity.System, []byte) {
	t.Helper()
	data := exampleText(t, name)
	r, units := drawnOf(t, string(data))
	return r, units, data
}

// exampleText returns the definition of an example.
func exampleText(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", name+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// drawnOf checks a barrier by its definition, with its trails and its drawings.
func drawnOf(t testing.TB, text string) (*check.Result, quantity.System) {
	t.Helper()
	d, err := barrier.Parse("barrier.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := check.Run(d, check.Options{Trails: true, Diagrams: true, Units: d.Units})
	if err != nil {
		t.Fatal(err)
	}
	return r, d.Units
}

// reportPages are pages of all kinds: the fixture, a long run, hostile words, and whole barriers with
// all their drawings.
func reportPages(t testing.TB) map[string][]byte {
	all := map[string][]byte{
		"fixture": page(t, worked(), TextOptions{}),
		"long":    page(t, longRun(200), TextOptions{}),
		"nothing": page(t, &check.Result{Title: "nothing", Cautions: fixture().Cautions}, TextOptions{}),
	}
	for i, title := range hostileTitles() {
		r := worked()
		r.Title, r.Inputs[0].Text, r.Loads[2].Name, r.Checks[0].Load = title, title, title, title
		all[fmt.Sprintf("hostile-%d", i)] = page(t, r, TextOptions{})
	}
	for _, name := range []string{"gallery", "cellar-stair", "boiler-gallery", "screen-house-lrfd"} {
		r, units, _ := resultOf(t, name)
		all[name] = page(t, r, TextOptions{Units: units})
	}
	return all
}

// lookedAt are those that are looked at in a browser, which takes its time.
func lookedAt(t testing.TB) map[string][]byte {
	all := reportPages(t)
	for _, name := range []string{"hostile-1", "hostile-3", "hostile-5", "nothing"} {
		delete(all, name)
	}
	return all
}

func hostileTitles() []string {
	return []string{
		`<script>alert(1)</script> & </title></style> "'` + "`",
		`{{template "x"}} javascript:alert(1) <!-- ]]> <img src=x onerror=alert(1)>`,
		"شرفة \u202eelgnis\u202c \u05e9\u05dc\u05d5\u05dd 12 mm",
		"🏗️👷‍♀️🧪 Ω≤γ²\x00\x1b[31m\u2028",
		strings.Repeat("M", 10_000),
		strings.Repeat("walk ", 2_000),
		"",
	}
}

func parsed(t testing.TB, page []byte) *html.Node {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	return root
}

// elements are those of some names below a node, in their order; of any name where none is given.
func elements(n *html.Node, names ...string) (found []*html.Node) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && (len(names) == 0 || slices.Contains(names, d.Data)) {
			found = append(found, d)
		}
	}
	return found
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// words is the text of an element, one space between words.
func words(n *html.Node) string {
	var text strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			text.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(text.String()), " ")
}

// within finds the element of a name that a node is or stands in; nil for none.
func within(n *html.Node, name string) *html.Node {
	for ; n != nil; n = n.Parent {
		if n.Type == html.ElementNode && n.Data == name {
			return n
		}
	}
	return nil
}

// What those need who hear a page or go through it by keys, from the Web Content Accessibility Guidelines
// 2.2 (1.1.1, 1.3.1, 2.1.1, 2.4.1, 2.4.2, 2.4.6, 3.1.1, 4.1.2; from memory): a language, a title, landmarks,
// headings in order, heads with their scope and a caption for each table, a name for each drawing and region,
// ids that are there and there once.
func TestPageIsSound(t *testing.T) {
	for name, page := range reportPages(t) {
		t.Run(name, func(t *testing.T) {
			root := parsed(t, page)
			hasLandmarks(t, root)
			hasHeadingsInOrder(t, root)
			hasIDsOnce(t, root)
			hasNamedTables(t, root)
			hasNamedDrawings(t, root)
			asksForNothing(t, root, page)
		})
	}
}

func hasLandmarks(t *testing.T, root *html.Node) {
	if lang := attribute(elements(root, "html")[0], "lang"); lang != "en-GB" {
		t.Errorf("the language is %q", lang)
	}
	if words(elements(root, "title")[0]) == "" {
		t.Error("the page has no title")
	}
	for _, landmark := range []string{"header", "nav", "main", "footer", "h1"} {
		if n := len(elements(root, landmark)); n != 1 {
			t.Errorf("%d elements %s, want 1", n, landmark)
		}
	}
	body := elements(root, "body")[0]
	skip := elements(body)[0]
	if skip.Data != "a" || attribute(skip, "href") != "#main" {
		t.Errorf("the page begins with %s %s, want a link to the main part", skip.Data, attribute(skip, "href"))
	}
	if top := words(elements(body, "header")[0]); !strings.HasPrefix(top, "Cautions C1 ") {
		t.Errorf("the header begins %.40q, want C1", top)
	}
	for _, link := range elements(elements(body, "nav")[0], "a") {
		to := strings.TrimPrefix(attribute(link, "href"), "#")
		if !slices.ContainsFunc(elements(body, "h2"), func(h *html.Node) bool { return attribute(h, "id") == to && words(h) == words(link) }) {
			t.Errorf("the contents lead to %q, which is no heading of those words", to)
		}
	}
	for _, li := range elements(body, "li") {
		if li.Parent.Data != "ul" {
			t.Errorf("an item stands in %s", li.Parent.Data)
		}
	}
}

func hasHeadingsInOrder(t *testing.T, root *html.Node) {
	depth := 0
	for _, h := range elements(root, "h1", "h2", "h3", "h4", "h5", "h6") {
		level := int(h.Data[1] - '0')
		if level > depth+1 || depth == 0 && level != 1 {
			t.Errorf("heading %q of level %d after one of level %d", words(h), level, depth)
		}
		if words(h) == "" {
			t.Errorf("a heading %s without words", h.Data)
		}
		depth = level
	}
}

func hasIDsOnce(t *testing.T, root *html.Node) {
	ids := map[string]int{}
	for _, e := range elements(root) {
		if id := attribute(e, "id"); id != "" {
			ids[id]++
		}
	}
	for id, n := range ids {
		if n > 1 || !regexp.MustCompile(`^[a-z][a-z0-9-]*$`).MatchString(id) {
			t.Errorf("id %q stands %d times", id, n)
		}
	}
	for _, e := range elements(root) {
		for id := range strings.FieldsSeq(attribute(e, "aria-labelledby")) {
			if ids[id] != 1 {
				t.Errorf("%s is named by %q, which is not there", e.Data, id)
			}
		}
		if to, inside := strings.CutPrefix(attribute(e, "href"), "#"); inside && ids[to] != 1 {
			t.Errorf("a link leads to %q, which is not there", to)
		}
	}
}

func hasNamedTables(t *testing.T, root *html.Node) {
	names := map[string]bool{}
	for _, table := range elements(root, "table") {
		captions := slices.DeleteFunc(elements(table, "caption"), func(c *html.Node) bool { return c.Parent != table })
		if len(captions) != 1 || words(captions[0]) == "" {
			t.Errorf("a table has %d captions", len(captions))
			continue
		}
		region := within(table.Parent, "div")
		if attribute(region, "role") != "region" || attribute(region, "tabindex") != "0" || attribute(region, "aria-labelledby") == "" {
			t.Errorf("table %q stands in no region that keys scroll", words(captions[0]))
		}
		if name := attribute(region, "aria-labelledby"); names[name] {
			t.Errorf("two regions are named by %s", name)
		} else {
			names[name] = true
		}
		head := elements(table, "thead")[0]
		columns := len(elements(head, "th"))
		for _, th := range elements(head, "th") {
			if attribute(th, "scope") != "col" || words(th) == "" {
				t.Errorf("table %q: head %q has scope %q", words(captions[0]), words(th), attribute(th, "scope"))
			}
		}
		for _, row := range elements(table, "tr") {
			if within(row, "table") != table || within(row, "thead") != nil && row.Parent.Data == "thead" {
				continue
			}
			cells := 0
			for c := range row.ChildNodes() {
				if c.Data == "th" && attribute(c, "scope") != "row" {
					t.Errorf("table %q: head %q of a row has scope %q", words(captions[0]), words(c), attribute(c, "scope"))
				}
				if c.Data == "th" || c.Data == "td" {
					cells += max(1, number(attribute(c, "colspan")))
				}
			}
			if cells != columns {
				t.Errorf("table %q: a row of %d cells under %d heads", words(captions[0]), cells, columns)
			}
		}
	}
}

func number(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		return 0
	}
	return n
}

func hasNamedDrawings(t *testing.T, root *html.Node) {
	for _, svg := range elements(root, "svg") {
		titles := elements(svg, "title")
		if attribute(svg, "role") != "img" || len(titles) == 0 || words(titles[0]) == "" || words(elements(within(svg, "figure"), "figcaption")[0]) == "" {
			t.Error("a drawing has no title")
		}
	}
}

// asksForNothing tests that a page runs nothing and asks for nothing.
func asksForNothing(t *testing.T, root *html.Node, page []byte) {
	for _, e := range elements(root) {
		if slices.Contains([]string{"script", "link", "img", "iframe", "object", "embed", "base", "form", "video", "audio", "image", "use", "foreignobject"}, strings.ToLower(e.Data)) {
			t.Errorf("the page has an element %s", e.Data)
		}
		for _, a := range e.Attr {
			name := strings.ToLower(a.Key)
			switch {
			case strings.HasPrefix(name, "on"), name == "src", name == "srcset", name == "action", name == "data", name == "http-equiv":
				t.Errorf("%s has %s=%q", e.Data, a.Key, a.Val)
			case name == "href" && !strings.HasPrefix(a.Val, "#"):
				t.Errorf("a link leads outside: %q", a.Val)
			}
			if strings.Contains(a.Val, "url(") && !strings.Contains(a.Val, "url(#") {
				t.Errorf("%s asks for %q", e.Data, a.Val)
			}
		}
	}
	for _, style := range elements(root, "style") {
		if text := words(style); strings.Contains(text, "url(") || strings.Contains(text, "@import") {
			t.Error("the style asks for something outside")
		}
	}
	if bytes.ContainsAny(page, "\x00\x1b\u202e\u2028") || bytes.Contains(page, []byte("ZgotmplZ")) {
		t.Error("a character that controls, or what a template refused, stands in the page")
	}
}

// The page stands in the order of design.md, "Report order".
func TestPageOrder(t *testing.T) {
	r, units, _ := resultOf(t, "gallery")
	text := words(elements(parsed(t, page(t, r, TextOptions{Units: units})), "body")[0])
	at := strings.Index(text, "Cautions C1")
	for _, part := range []string{
		"pass members, deflection", "What holds it back", "Load path", "Elevation", "Largest design actions at the base", "Rails Largest design forces",
		"Fittings The worst", "Feet What each post", "Checks The worst post", "Geometry rules", "Hand checks", "Not checked", "Left out by the user", "Assumptions",
		"Inputs as read", "Cautions that hold for every barrier", "Sources", "Self-check",
	} {
		i := strings.LastIndex(text, part)
		if i < at || i < 0 {
			t.Errorf("%q stands at %d, want it after %d", part, i, at)
		}
		at = max(at, i)
	}
}

// The page says all that plain text says: every word of a fixture with something in every list, but
// for bars, and for heads that plain text breaks.
func TestPageSaysWhatTextSays(t *testing.T) {
	r := worked()
	r.Trails = nil // told otherwise
	count := map[string]int{}
	for word := range strings.FieldsSeq(strings.ToLower(words(elements(parsed(t, page(t, r, TextOptions{})), "body")[0]))) {
		count[strings.Trim(word, ".,:;")]++
	}
	for word := range strings.FieldsSeq(strings.ToLower(text(t, r, quantity.Metric))) {
		switch word = strings.Trim(word, ".,:;"); {
		case slices.Contains([]string{"", "-", "util-", "isation", "resist-", "ance"}, word), strings.HasPrefix(word, "="):
		case count[word] == 0:
			t.Errorf("the page does not say %q", word)
		}
	}
}

// Each input stands with its line: the line of that number in the file has its key.
func TestInputsHaveTheirLines(t *testing.T) {
	for _, name := range []string{"gallery", "cellar-stair", "screen-house-lrfd"} {
		r, units, file := resultOf(t, name)
		lines := strings.Split(string(file), "\n")
		root := parsed(t, page(t, r, TextOptions{Units: units}))
		seen := 0
		for _, table := range elements(root, "table") {
			if words(elements(table, "caption")[0]) != "Inputs as read" {
				continue
			}
			for _, row := range elements(elements(table, "tbody")[0], "tr") {
				cells := elements(row, "th", "td")
				line, key := number(words(cells[0])), words(cells[1])
				last := key[strings.LastIndex(key, ".")+1:]
				last, _, _ = strings.Cut(last, "[")
				if line < 1 || line > len(lines) || !strings.Contains(lines[line-1], last) {
					t.Errorf("%s: %s is told to stand in line %d", name, key, line)
				}
				seen++
			}
		}
		if seen != len(r.Inputs) {
			t.Errorf("%s: %d inputs stand on the page, want %d", name, seen, len(r.Inputs))
		}
	}
}

// Under each check that is shown its working is folded, every step with its formula, result, clause
// and provenance; it ends in the division of the row.
func TestWorkingIsFoldedUnderItsCheck(t *testing.T) {
	r, _, _ := resultOf(t, "gallery")
	root := parsed(t, page(t, r, TextOptions{}))
	trails := map[string]*check.Trail{}
	for i := range r.Trails {
		trails[workingName(r.Checks[i])] = &r.Trails[i]
	}
	shown := len(selectChecks(r).worst)
	details := slices.DeleteFunc(elements(root, "details"), func(d *html.Node) bool { return attribute(d, "class") != "working" })
	if len(details) != shown || shown == 0 {
		t.Fatalf("%d workings for %d checks", len(details), shown)
	}
	for _, d := range details {
		of := strings.TrimPrefix(words(elements(d, "summary")[0]), "Working of ")
		record := within(d, "tr").PrevSibling
		for record.Type != html.ElementNode { // the end of a line
			record = record.PrevSibling
		}
		trail := trails[of]
		if trail == nil {
			t.Fatalf("no trail of %q", of)
		}
		if row := words(record); !strings.HasPrefix(row, trail.ID+" "+trail.Element+" ") {
			t.Errorf("the working of %s stands under %q", of, row)
		}
		rows := elements(elements(d, "tbody")[0], "tr")
		if len(rows) != len(trail.Steps) {
			t.Errorf("%s: %d steps, want %d", of, len(rows), len(trail.Steps))
			continue
		}
		for i, step := range trail.Steps {
			clause := step.Clause
			if clause == check.FromFrame {
				clause = "the frame"
			}
			for _, want := range []string{step.What, step.Symbol, step.Formula, trimmed(step.Value), clause} {
				if got := words(rows[i]); !strings.Contains(got, strings.Join(strings.Fields(want), " ")) {
					t.Errorf("%s: step %d is %q, without %q", of, i+1, got, want)
				}
			}
		}
		cells := elements(record, "th", "td")
		last := elements(d, "p")
		if division := words(last[len(last)-1]); !strings.Contains(division, " = "+words(cells[5])) {
			t.Errorf("%s ends in %q, and the row says %s", of, division, words(cells[5]))
		}
	}
}

// What governs leads to its row.
func TestWhatGovernsLeadsToItsRow(t *testing.T) {
	r, _, _ := resultOf(t, "gallery")
	leadsToItsRow(t, r, 3)
}

// leadsToItsRow holds the links of a page, at least so many, against the rows that they lead to.
func leadsToItsRow(t *testing.T, r *check.Result, least int) {
	t.Helper()
	root := parsed(t, page(t, r, TextOptions{}))
	rows := map[string]string{}
	for _, tr := range elements(root, "tr") {
		rows[attribute(tr, "id")] = words(tr)
	}
	links := 0
	for _, a := range elements(elements(root, "main")[0], "a") {
		links++
		governs := words(within(a, "tr"))
		_, check, _ := strings.Cut(governs, words(a)) // its element and utilisation follow
		fields := strings.Fields(check)
		row := rows[strings.TrimPrefix(attribute(a, "href"), "#")]
		if !strings.HasPrefix(row, words(a)+" "+fields[0]+" "+fields[1]+" ") || !strings.Contains(governs, words(a)) {
			t.Errorf("%q leads to %q", governs, row)
		}
	}
	if links < least {
		t.Errorf("%d of the governing checks lead to their rows", links)
	}
}

// Where checks of several posts are equal the row that is told as governing is the one that is shown,
// with its trail, and the link leads to it.
func TestWhatGovernsIsShown(t *testing.T) {
	results := map[string]*check.Result{"equal": equalPosts(t)}
	for _, name := range []string{"gallery", "boiler-gallery", "cellar-stair", "quay-gate", "settling-tanks"} {
		results[name], _, _ = resultOf(t, name)
	}
	for name, r := range results {
		inText, sheet := text(t, r, quantity.Metric), flat(words(parsed(t, page(t, r, TextOptions{}))))
		shown := selectChecks(r).worst
		g := r.Governing
		for _, ref := range []check.CheckRef{g.Overall, g.Strength, g.Deflection} {
			if !slices.ContainsFunc(shown, func(row check.CheckRow) bool { return ref.Names(&row) }) {
				t.Errorf("%s: %s of %s governs and is not among the rows that are shown", name, ref.ID, ref.Element)
			}
			if of := ref.ID + ", " + ref.Element; !strings.Contains(inText, "Trail of "+of) || !strings.Contains(sheet, "Working of "+of) {
				t.Errorf("%s: %s governs and its working is not told", name, of)
			}
		}
	}
	leadsToItsRow(t, results["equal"], 4)
}

// equalPosts is the result of a barrier whose splices are not known: with rails that are cut at every
// post each post has the moment of every other, and the inner ones have more of axial force.
func equalPosts(t testing.TB) *check.Result {
	t.Helper()
	text := strings.NewReplacer(`"9 m"`, `"12 m"`, `splices = ["5.8 m"]`, "", `splices = ["4.6 m"]`, "through = true\nstock = \"6 m\"").Replace(string(exampleText(t, "gallery")))
	r, _ := drawnOf(t, text)
	return r
}

// Of an element with several rows of one check the link leads to that which governs.
func TestWhatGovernsLeadsToOneRowOfTwo(t *testing.T) {
	r := fixture()
	other := r.Checks[1] // post-bending of post 7, which governs
	other.Utilisation, other.LimitState = new(0.1), "accidental"
	r.Checks = append([]check.CheckRow{other}, r.Checks...)
	root := parsed(t, page(t, r, TextOptions{}))
	for _, a := range elements(elements(root, "main")[0], "a") {
		if words(a) != "post-bending" {
			continue
		}
		for _, tr := range elements(root, "tr") {
			if row := words(tr); "#"+attribute(tr, "id") == attribute(a, "href") && !strings.Contains(row, "0.599") {
				t.Errorf("what governs leads to %q", row)
			}
		}
	}
}

// Every status is a word.
func TestStatusIsAWord(t *testing.T) {
	r := longRun(30)
	root := parsed(t, page(t, r, TextOptions{}))
	fails := 0
	for _, td := range elements(root, "td") {
		if words(td) == "FAIL" {
			fails++
		}
	}
	s := selectChecks(r)
	want := min(len(s.failing), mostRows)
	for _, row := range s.worst {
		if row.Status == check.Fail {
			want++
		}
	}
	if fails != want || want == 0 {
		t.Errorf("%d rows say FAIL, want %d", fails, want)
	}
	if answer := words(elements(elements(root, "main")[0], "strong")[0]); answer != "fail" {
		t.Errorf("the verdict is %q", answer)
	}
}

// The same result gives the same bytes.
func TestPageIsDeterminate(t *testing.T) {
	first, _, _ := resultOf(t, "boiler-gallery")
	second, _, _ := resultOf(t, "boiler-gallery")
	if !bytes.Equal(page(t, first, TextOptions{}), page(t, second, TextOptions{})) {
		t.Error("two runs give two pages")
	}
	golden.Check(t, "testdata/fixture.html", page(t, worked(), TextOptions{}))
}

// The page does not grow with the run.
func TestPageOfALongRunIsFolded(t *testing.T) {
	short, folded := page(t, longRun(200), TextOptions{}), page(t, longRun(long), TextOptions{})
	if grown := len(folded) - len(short); grown > 20_000 { // numbers have more digits
		t.Errorf("the page of %d posts has %d bytes, %d more than that of 200", long, len(folded), grown)
	}
}

// BenchmarkHTML writes the page of a barrier; bytes are those of the page.
func BenchmarkHTML(b *testing.B) {
	short, units, _ := resultOf(b, "gallery")
	for name, r := range map[string]*check.Result{"posts=7": short, "posts=101": longGallery(b)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(page(b, r, TextOptions{Units: units}))))
			for b.Loop() {
				if err := HTML(io.Discard, r, TextOptions{Units: units}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// longGallery is the result of the gallery with 101 posts.
func longGallery(t testing.TB) *check.Result {
	t.Helper()
	text := strings.Replace(string(exampleText(t, "gallery")), `"9 m"`, `"150 m"`, 1)
	text = regexp.MustCompile(`splices *= *\[.*\]`).ReplaceAllString(text, `splices = "none"`)
	r, _ := drawnOf(t, text)
	if len(r.Posts) != 101 {
		t.Fatalf("the long gallery has %d posts", len(r.Posts))
	}
	return r
}
