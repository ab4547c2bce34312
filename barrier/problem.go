package barrier

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Position is a place in a definition. Line and Col count from 1, Col in characters;
// both are 0 where the place is not known.
type Position struct {
	File      string
	Line, Col int
}

// String returns file:line:col, or the file alone where the line is not known.
func (p Position) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Problem is one fault of a definition: where it is, what is wrong, what would be right.
type Problem struct {
	Pos  Position
	Path string // the key, such as "rail[0].height"; empty for a fault of the whole file
	What string // what is wrong
	Fix  string // what would be right; lines parted by "\n"

	// Unreadable says that the value, or the key, stays wrong whatever stands beside it: its kind,
	// its unit or its name is.
	Unreadable bool

	at     span   // the faulty stretch of the source
	source string // the line it stands on, or the part of it that is shown
	indent string // what stands before the caret, all of it white space
	width  int    // characters that are marked
}

// Error returns the problem in full:
//
//	gallery.toml:14:10: post.height: quantity has no unit: 1100
//	  14 | height = 1100
//	     |          ^^^^
//	     fix: write "1100 mm"
//
// Without a place the two lines of the source are left out.
func (p *Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.Pos.String())
	if p.Path != "" {
		b.WriteString(": " + shortened(p.Path))
	}
	b.WriteString(": " + p.What)
	gutter := "  "
	if p.Pos.Line > 0 {
		number := fmt.Sprintf("  %d ", p.Pos.Line)
		gutter = strings.Repeat(" ", len(number))
		marks := strings.Repeat("^", max(p.width, 1))
		fmt.Fprintf(&b, "\n%s\n%s| %s%s", strings.TrimRight(number+"| "+p.source, " "), gutter, p.indent, marks)
	}
	if p.Fix != "" {
		const label = "fix: "
		further := "\n" + gutter + strings.Repeat(" ", len(label))
		fmt.Fprintf(&b, "\n%s%s%s", gutter, label, strings.ReplaceAll(p.Fix, "\n", further))
	}
	return b.String()
}

// Problem returns a problem of the definition that shows only after it was read, at
// the value of a key such as "post.tube"; without a place where there is none.
func (d *Definition) Problem(path, what, fix string) *Problem {
	p := &Problem{Pos: Position{File: d.File}, Path: path, What: what, Fix: fix, at: nowhere()}
	if c, changed := changeOf(d.changes, path); changed {
		p.What += c.put(path)
		return p
	}
	if d.locator == nil {
		return p
	}
	if at, ok := d.locator.find(path); ok {
		p.at = at.value
		Problems{p}.setPositions(d.locator)
	}
	return p
}

// shortened cuts a path that nobody would read to its end.
func shortened(path string) string {
	const longest = 120
	if letters := []rune(path); len(letters) > longest {
		return string(letters[:longest]) + "..."
	}
	return path
}

// Problems is every fault of one definition. As an error it reads one after the other.
type Problems []*Problem

// Error returns the problems in full, sorted as they are, an empty line between.
func (p Problems) Error() string {
	texts := make([]string, 0, min(len(p), maxPrinted)+1)
	for i, problem := range p {
		if i == maxPrinted {
			texts = append(texts, fmt.Sprintf("%s: %d more problems", problem.Pos.File, len(p)-i))
			break
		}
		texts = append(texts, problem.Error())
	}
	return strings.Join(texts, "\n\n")
}

// Add appends a problem.
func (p *Problems) Add(problem *Problem) { *p = append(*p, problem) }

// Sort orders the problems by position; those without one come first.
func (p Problems) Sort() {
	slices.SortStableFunc(p, func(a, b *Problem) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
}

// Err returns the problems as an error, nil when there are none.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	return p
}

// setPositions gives each problem that has a stretch of the source its line, column
// and excerpt. Columns are counted onwards from one problem to the next, so that many
// faults on one long line cost no more than reading it once.
func (p Problems) setPositions(l *locator) {
	placed := slices.DeleteFunc(slices.Clone(p), func(q *Problem) bool { return q.at.from < 0 })
	slices.SortStableFunc(placed, func(a, b *Problem) int { return cmp.Compare(a.at.from, b.at.from) })
	line, offset, col := -1, 0, 0
	for _, problem := range placed {
		n := l.line(problem.at.from)
		if n != line {
			line, offset, col = n, l.lines[n], 1
		}
		col += utf8.RuneCountInString(l.source[offset:problem.at.from])
		offset = problem.at.from
		problem.Pos.Line, problem.Pos.Col = n+1, col
		problem.setExcerpt(l.source, l.lineSpan(n))
	}
}

// Widest part of a line that is shown before and from a fault on, in bytes.
const (
	shownBefore = 100
	shownAfter  = 100
)

// setExcerpt keeps the line of the source, or the part of a long line round the fault,
// and what puts the caret under it.
func (p *Problem) setExcerpt(source string, line span) {
	from := min(max(p.at.from, line.from), line.to)
	to := min(max(p.at.to, from), line.to)
	before, dotsBefore := source[line.from:from], ""
	if len(before) > shownBefore {
		before, dotsBefore = validTail(before[len(before)-shownBefore:]), "..."
	}
	after, dotsAfter := source[from:line.to], ""
	if len(after) > shownAfter {
		after, dotsAfter = validHead(after[:shownAfter]), "..."
	}
	before, after = printable(dotsBefore+before), printable(after)
	p.source = before + after + dotsAfter
	p.indent = strings.Map(blank, before)
	p.width = utf8.RuneCountInString(source[from:min(to, from+shownAfter)])
}

// validTail drops the rest of a character that was cut off at the front.
func validTail(text string) string {
	for len(text) > 0 && !utf8.RuneStart(text[0]) {
		text = text[1:]
	}
	return text
}

// validHead drops the start of a character that was cut off at the end.
func validHead(text string) string {
	for i := 0; i < utf8.UTFMax && len(text) > 0; i++ {
		if r, size := utf8.DecodeLastRuneInString(text); r != utf8.RuneError || size > 1 {
			break
		}
		text = text[:len(text)-1]
	}
	return text
}

// printable replaces what a terminal would act upon or not show.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' || unicode.IsPrint(r) {
			return r
		}
		return utf8.RuneError
	}, text)
}

// blank turns a character into white space of its width: a tab stays one, a mark that
// sits on the character before it has none.
func blank(r rune) rune {
	switch {
	case r == '\t':
		return r
	case unicode.Is(unicode.Mn, r):
		return -1
	}
	return ' '
}
