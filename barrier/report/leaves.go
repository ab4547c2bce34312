package report

// leaves are what a document is printed on: marks and letters at their places, mm from the top left
// corner, y down. They are laid out whole before the first is written, so that each knows their
// number.
type leaves struct {
	faces         *typeface
	width, height float64
	left          float64 // of the text, and as much on the right
	top, bottom   float64 // y between which text stands
	all           []*leaf
	boxes         []box // that are not laid out yet
}

// leaf is one of them.
type leaf struct {
	letters  []printed
	rules    []ruled
	marks    []inked // below the letters
	drawings []hung
	places   []bookmark
}

// printed is letters in one face; at is the left end of their baseline.
type printed struct {
	at   paper
	text string
	face *face
	size float64 // mm
	grey bool
}

// ruled is a line that parts what is above from what is below.
type ruled struct {
	from, to paper
	weight   float64
	grey     int
}

// Greys of a page, 0 black to 255 white.
const (
	inkGrey     = 20
	backGrey    = 85 // of letters that stand back
	partingGrey = 205
)

// hung is a drawing with its top left corner, at a scale.
type hung struct {
	*drawing
	at    paper
	scale float64
}

// bookmark is a heading that readers can jump to.
type bookmark struct {
	text  string
	level int
	y     float64
}

// box is a piece of a document that no page break parts, over the width of the text.
type box struct {
	gap, height float64 // above it, but at the head of a page; its own
	keeps       bool    // on the page of the next
	again       *box    // that stands above it where it begins a page: the heads of its table
	ink         func(p *leaf, at paper)
}

// room is the width of the text.
func (s *leaves) room() float64 { return s.width - 2*s.left }

func (s *leaves) add(boxes ...box) { s.boxes = append(s.boxes, boxes...) }

// kept lets some boxes stand on one page, and the last with what follows where it keeps.
func kept(boxes []box) []box {
	for i := range boxes[:max(len(boxes)-1, 0)] {
		boxes[i].keeps = true
	}
	return boxes
}

// layOut puts the boxes on pages.
func (s *leaves) layOut() {
	current := &leaf{}
	s.all = append(s.all, current)
	y := s.top
	turn := func(first *box) {
		current, y = &leaf{}, s.top
		s.all = append(s.all, current)
		if first.again != nil {
			first.again.ink(current, paper{s.left, y})
			y += first.again.height
		}
	}
	for from := 0; from < len(s.boxes); {
		to := from
		chain := s.boxes[from].height
		for s.boxes[to].keeps && to+1 < len(s.boxes) {
			to++
			chain += s.boxes[to].gap + s.boxes[to].height
		}
		heads := 0.0
		if again := s.boxes[from].again; again != nil {
			heads = again.height
		}
		if y > s.top && y+s.boxes[from].gap+chain > s.bottom && heads+chain <= s.bottom-s.top {
			turn(&s.boxes[from])
		}
		for ; from <= to; from++ {
			b := &s.boxes[from]
			if y > s.top && y+b.gap+b.height > s.bottom {
				turn(b)
			}
			if y > s.top && !current.isNew(b, y, s.top) {
				y += b.gap
			}
			b.ink(current, paper{s.left, y})
			y += b.height
		}
	}
	s.boxes = nil
}

// isNew reports whether nothing stands on a page but the heads of a box's table.
func (p *leaf) isNew(b *box, y, top float64) bool {
	return b.again != nil && y == top+b.again.height
}

// print puts letters on a page.
func (p *leaf) print(at paper, f *face, size float64, text string) {
	if text != "" {
		p.letters = append(p.letters, printed{at: at, text: text, face: f, size: size})
	}
}

// printGrey puts letters on a page that stand back.
func (p *leaf) printGrey(at paper, f *face, size float64, text string) {
	p.print(at, f, size, text)
	if text != "" {
		p.letters[len(p.letters)-1].grey = true
	}
}

// rule draws a line.
func (p *leaf) rule(weight float64, from, to paper) {
	p.rules = append(p.rules, ruled{from, to, weight, inkGrey})
}

// parting draws a line between rows.
func (p *leaf) parting(from, to paper) {
	p.rules = append(p.rules, ruled{from, to, fine, partingGrey})
}

// Sizes of letters, mm, and how far their baseline is below the top of their line, over the size.
const (
	point        = 25.4 / 72 // mm, exact
	bodyLetters  = 9 * point
	titleLetters = 16 * point
	partLetters  = 11.5 * point // of a heading
	trailLetters = 9.5 * point  // of the heading of a trail
	footLetters  = 7.5 * point
	spacedLines  = 1.36 // from line to line, over the size
	baseline     = 1.02
)

// lines makes a box of each line of a text; the first two and the last two stay together. A label
// stands before the first, in a column of its own that is hang wide.
func (s *leaves) lines(f *face, size, gap, indent, hang float64, label, text string) []box {
	lines := f.wrap(text, size, s.room()-indent-hang)
	boxes := make([]box, len(lines))
	for i, line := range lines {
		boxes[i] = box{height: size * spacedLines, ink: func(p *leaf, at paper) {
			y := at[1] + size*baseline
			if i == 0 {
				p.print(paper{at[0] + indent, y}, s.labelFace(label), size, label)
			}
			p.print(paper{at[0] + indent + hang, y}, f, size, line)
		}}
		boxes[i].keeps = len(lines) > 1 && (i == 0 || i == len(lines)-2)
	}
	boxes[0].gap = gap
	return boxes
}

// labelFace is the face of a label: bold but for the dash of a list.
func (s *leaves) labelFace(label string) *face {
	if label == dash {
		return s.faces.regular
	}
	return s.faces.bold
}

// dash begins an item of a list.
const dash = "–"

// title adds the heading of the whole. One that is very long is cut.
func (s *leaves) title(text string) {
	s.add(kept(s.lines(s.faces.bold, titleLetters, 0, 0, 0, "", text))...)
}

// heading adds a heading under a rule, which stays with what follows.
func (s *leaves) heading(text string) {
	boxes := kept(s.lines(s.faces.bold, partLetters, 0, 0, 0, "", text))
	ruled := box{gap: 5, height: 2, ink: func(p *leaf, at paper) {
		p.rule(fine, at, paper{at[0] + s.room(), at[1]})
	}}
	s.mark(&ruled, 0, text)
	boxes = append([]box{ruled}, boxes...)
	boxes = append(boxes, box{height: 0.8, ink: func(*leaf, paper) {}})
	for i := range boxes {
		boxes[i].keeps = true
	}
	s.add(boxes...)
}

// mark makes a box what readers jump to by a name; level 0 is a section, 1 a part of it.
func (s *leaves) mark(b *box, level int, name string) {
	ink := b.ink
	b.ink = func(p *leaf, at paper) {
		p.places = append(p.places, bookmark{s.faces.bold.printable(name), level, at[1]})
		ink(p, at)
	}
}

// draw adds a drawing under what it is, made smaller where a page is less high.
func (s *leaves) draw(d *drawing, what string) {
	const above = 3.0
	caption := kept(s.lines(s.faces.bold, bodyLetters, above, 0, 0, "", s.faces.bold.cut(s.faces.bold.printable(what), bodyLetters, s.room())))
	caption[len(caption)-1].keeps = true
	scale := min(s.room()/d.width, 1)
	room := s.bottom - s.top - partLetters*spacedLines - bodyLetters*spacedLines - above - 4 // under a heading
	if d.height > 0 {
		scale = min(scale, room/d.height)
	}
	s.add(caption...)
	s.add(box{gap: 1, height: d.height * scale, ink: func(p *leaf, at paper) {
		p.drawings = append(p.drawings, hung{d, at, scale})
	}})
}
