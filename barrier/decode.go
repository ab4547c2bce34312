package barrier

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// standardInput is the name of the file "-" in messages.
const standardInput = "standard input"

// Parse reads a definition in TOML. The name is that of its file, for messages and for
// the title where none is given; "-" stands for the standard input.
//
// The error is of type Problems: every fault of the file, sorted by position. A fault
// of the syntax is the only one of its file.
func Parse(name string, data []byte) (*Definition, error) {
	doc, err := Read(name, data)
	if err != nil {
		return nil, err
	}
	return doc.Definition()
}

// definition reads the whole file. Rails come before posts, whose height they give by
// default; posts before splices and loads, which stand between them, and all of these
// before braces.
func (r *reader) definition(root map[string]any) {
	t := r.open(topLevel, "", root)
	t.readHead()
	run := t.readRun()
	rails := t.readRails()
	post := t.readPost(rails)
	run = run.checkSpacing(post)
	t.readPieces(rails, run, post)
	t.readFitting(run, rails, post)
	t.readBraces(rails, run, post)
	infill := t.readInfill(rails, post)
	t.readLoads(site{run, post, rails, infill})
	t.checkSize(run, len(rails))
	t.readCombining()
	t.sayCategories()
	t.readLimits(run, post, rails)
	t.readScope()

	d := r.def
	d.Stock = t.readStock()
	d.Exposure = t.readExposure(rails, post)
	d.Survey = t.readSurvey(run, rails, post)
	d.Proof = t.readProofLoad(run, rails)
	d.Run, d.Post, d.Infill = run.Run, post.Post, infill.Infill
	for _, rail := range rails {
		d.Rails = append(d.Rails, *rail.Rail)
	}
	r.takeSurvey()
	d.Inputs = r.inputs(root)
	d.locator, d.changes = r.locator, r.changes
}

// parse reads the TOML and finds its places. ok is false where nothing more can be said
// of the file.
func (r *reader) parse(source string) (root map[string]any, ok bool) {
	if what, fix := tooMuch(source); what != "" {
		r.report(nowhere(), "", what, fix)
		return nil, false
	}
	locator, err := newLocator(source)
	r.locator = locator
	if errors.Is(err, errTooDeep) || errors.Is(err, errTooMany) {
		at := span{locator.stopped, locator.stopped}
		r.report(at, "", err.Error(), "no barrier needs that: split it over several files")
		return nil, false
	}
	if at, ok := invalidByte(source); ok {
		r.report(at, "", "this byte is not UTF-8", "save the file as UTF-8")
		return nil, false
	}
	md, parseErr := decodeTOML(source, &root)
	if parseErr != nil {
		r.syntaxFault(parseErr)
		return nil, false
	}
	if second, first, ok := locator.writtenOver(); ok {
		r.writtenOver(second, first)
		return nil, false
	}
	if err != nil || !locator.agrees(md.Keys()) {
		locator.distrust()
	}
	if len(root) == 0 {
		r.report(locator.end(), "", "there is nothing in the file", "begin with basis = \"EN\" and the tables [run], [post], [[rail]] and [[load]]")
		return nil, false
	}
	return root, true
}

// tooMuch refuses a source that is no definition by its size alone.
func tooMuch(source string) (what, fix string) {
	if len(source) > MaxFileSize {
		return fmt.Sprintf("the file holds more than %d MiB", MaxFileSize>>20), largeFix(source)
	}
	if n := strings.Count(source, "[") + strings.Count(source, "{"); n > maxOpenings {
		return fmt.Sprintf("the file opens %d lists and tables, at most %d are read", n, maxOpenings), "split the barrier over several files"
	}
	return "", ""
}

// largeFix says what to do with a file that is too large: it may be no text at all.
func largeFix(source string) string {
	const start = 4096 // bytes
	if strings.Contains(source, "\x00") || !utf8.ValidString(validHead(source[:min(len(source), start)])) {
		return "is this a TOML definition? it is not plain text in UTF-8"
	}
	return "split the barrier over several files"
}

// invalidByte returns the first byte that is not UTF-8.
func invalidByte(source string) (at span, ok bool) {
	for i, letter := range source {
		if letter == utf8.RuneError && !strings.HasPrefix(source[i:], string(utf8.RuneError)) {
			return span{i, i + 1}, true
		}
	}
	return span{}, false
}

// decodeTOML decodes a source; a panic of the decoder is an error as well.
func decodeTOML(source string, root *map[string]any) (md toml.MetaData, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("this is not TOML: %v", fault)
		}
	}()
	return toml.Decode(source, root)
}

// inputs returns every value as read, in document order.
func (r *reader) inputs(root map[string]any) []Input {
	if r.locator.places == nil {
		return unplacedInputs("", root)
	}
	var inputs []Input
	told := make([]bool, len(r.changes))
	for i, p := range r.locator.places {
		if p.key == nil {
			continue
		}
		if c, changed := r.changeAt(p.path); changed {
			if !told[c] {
				told[c] = true
				inputs = append(inputs, r.changedInputs(c)...)
			}
			continue
		}
		if p.header || p.table || r.holdsTables(i) {
			continue
		}
		if p.array && r.changedElements(p.path, told) {
			way, _ := parseKeyPath(p.path)
			inputs = append(inputs, unplacedInputs(p.path, valueAt(r.root, way))...)
			continue
		}
		inputs = append(inputs, Input{Path: p.path, Text: r.asRead(p), Line: r.locator.line(p.value.from) + 1})
	}
	for c := range r.changes {
		if !told[c] {
			inputs = append(inputs, r.changedInputs(c)...)
		}
	}
	return inputs
}

// holdsTables says whether the value of a place is a list of inline tables, whose keys
// are inputs of their own.
func (r *reader) holdsTables(i int) bool {
	places := r.locator.places
	return places[i].array && i+1 < len(places) && places[i+1].path == element(places[i].path, 0) && places[i+1].table
}

// asRead returns the text of a value: a string without its quotes, anything else as it
// stands; a list over several lines is put on one.
func (r *reader) asRead(p place) string {
	text := r.locator.source[p.value.from:p.value.to]
	if p.array && strings.Contains(text, "\n") {
		return r.onOneLine(p)
	}
	if content, ok := unquoted(text); ok {
		return content
	}
	return text
}

// unquoted takes the quotes off a string of one line.
func unquoted(text string) (string, bool) {
	if len(text) < 2 || strings.HasPrefix(text, `"""`) || strings.HasPrefix(text, `'''`) {
		return "", false
	}
	content := text[1 : len(text)-1]
	switch text[0] {
	case '\'':
		return content, true
	case '"':
		content, err := unescape(content)
		return content, err == nil
	}
	return "", false
}

func (r *reader) onOneLine(p place) string {
	var elements []string
	for i := 0; ; i++ {
		e, ok := r.locator.byPath[element(p.path, i)]
		if !ok {
			return "[" + strings.Join(elements, ", ") + "]"
		}
		span := r.locator.places[e].value
		elements = append(elements, r.locator.source[span.from:span.to])
	}
}
