package explore

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// conclude fills what the columns come to.
func (s *spacingSearch) conclude(out *Spacing) error {
	declared := &out.Columns[0]
	out.Largest = declared.Largest
	alone := &out.Columns[1]
	out.OnlyBySharing = out.Largest != nil && (alone.Largest == nil || *alone.Largest < *out.Largest*(1-rounding))
	if err := s.checkAnswer(out); err != nil {
		return err
	}
	s.note(out)
	return nil
}

// checkAnswer checks the answer whole, for what is said of it; where nothing passes the last
// layout that could be built.
func (s *spacingSearch) checkAnswer(out *Spacing) error {
	at := slices.IndexFunc(out.Columns[0].Rows, func(r SpacingRow) bool { return out.Largest != nil && r.Spacing == *out.Largest })
	if at < 0 {
		for i, row := range out.Columns[0].Rows {
			if row.isBuilt() {
				at = i
			}
		}
	}
	if at < 0 {
		return s.untrusted(out)
	}
	from := out.Columns[0].Beyond.layouts()
	l := s.ground.at(s.spacings[from+at])
	d, err := s.definition(&l, &reading{})
	if err != nil {
		return err
	}
	r, err := check.Run(d, check.Options{Units: s.o.Units})
	if err != nil {
		return err
	}
	if row := &out.Columns[0].Rows[at]; r.Status != row.Status {
		return fmt.Errorf("at a spacing of %s a whole check says %s and the search %s", quantity.Place(row.Spacing).In(s.o.Units), r.Status, row.Status)
	}
	out.Status, out.ScopeComplete, out.Cautions = r.Status, r.ScopeComplete, r.Cautions
	out.Unchecked, out.LeftOut = r.Unchecked, r.LeftOut
	if out.Largest == nil {
		out.Status, out.Unchecked, out.LeftOut = check.Fail, nil, r.LeftOut
	} else {
		out.TOML = s.toml(d, &l)
	}
	if out.Columns[0].Beyond.NotTrusted > 0 || slices.ContainsFunc(out.Columns[0].Rows, func(row SpacingRow) bool {
		return row.Status == NotTrusted && (out.Largest == nil || row.Spacing > *out.Largest)
	}) {
		out.Status = NotTrusted
	}
	s.headline(out, r)
	return nil
}

// untrusted returns the error of a run none of whose layouts could be trusted.
func (s *spacingSearch) untrusted(out *Spacing) error {
	for _, row := range out.Columns[0].Rows {
		if row.Status == NotTrusted {
			return fmt.Errorf("no layout could be trusted; the first, at a spacing of %s: %s", quantity.Place(row.Spacing).In(s.o.Units), row.Reason)
		}
	}
	return fmt.Errorf("no layout was checked")
}

// headline says the answer in one line of words.
func (s *spacingSearch) headline(out *Spacing, r *check.Result) {
	if out.Largest == nil {
		least := s.spacings[len(s.spacings)-1]
		out.Headline = "no spacing passes, from " + s.place(s.spacings[0]) + " down to " + s.place(least) + ": at the smallest, " + r.Headline
		return
	}
	but := ""
	if row := out.answer(); row != nil && len(row.OddBays) > 0 {
		but = " with " + s.oddBays(row)
	}
	if s.isLimitedByLength(out) {
		but += ", limited by the length of the run and not by a check"
	}
	if out.OnlyBySharing {
		but += ", and only by sharing"
	}
	if slices.ContainsFunc(out.Columns[0].Rows, func(row SpacingRow) bool { return row.Status == check.Fail && row.Spacing < *out.Largest }) {
		but += ", though smaller ones fail"
	}
	out.Headline = "the largest spacing is " + s.place(*out.Largest) + but + ": " + r.Headline
}

// answer is the row of the largest spacing as declared; nil for none.
func (out *Spacing) answer() *SpacingRow {
	rows := out.Columns[0].Rows
	for i := range rows {
		if out.Largest != nil && rows[i].Spacing == *out.Largest {
			return &rows[i]
		}
	}
	return nil
}

// oddBays names the odd bays of a layout, each length once.
func (s *spacingSearch) oddBays(row *SpacingRow) string {
	var lengths []string
	for _, bay := range row.OddBays {
		if length := s.place(bay); !slices.Contains(lengths, length) {
			lengths = append(lengths, length)
		}
	}
	if len(row.OddBays) == 1 {
		return "an odd bay of " + lengths[0]
	}
	return "odd bays of " + list(lengths)
}

// isLimitedByLength reports whether the answer is the layout of fewest posts.
func (s *spacingSearch) isLimitedByLength(out *Spacing) bool {
	return out.Largest != nil && *out.Largest >= s.spacings[0]*(1-rounding)
}

func (s *spacingSearch) place(x float64) string { return quantity.Place(x).In(s.o.Units) }

// toml is what [run] needs for a layout to stand: a spacing, where equal bays and their number
// say it all, and a list of posts otherwise.
func (s *spacingSearch) toml(d *barrier.Definition, l *layout) string {
	length, spacing := s.lengthText(s.ground.runLength(), 0), ""
	for digits := 3; spacing == "" && digits <= 6; digits++ {
		text := s.lengthText(l.spacing, digits)
		if s.stands(d, length, text) {
			spacing = text
		}
	}
	switch {
	case spacing != "" && (given(s.file, "run.legs") || given(s.file, "run.length") && s.o.On == 0):
		return "spacing = " + quoted(spacing)
	case spacing != "":
		return "length = " + quoted(length) + "\nspacing = " + quoted(spacing)
	}
	var lines []string
	for some := range slices.Chunk(l.supports, 6) {
		texts := make([]string, len(some))
		for i, x := range some {
			texts[i] = quoted(s.lengthText(x, 0))
		}
		lines = append(lines, "  "+strings.Join(texts, ", ")+",")
	}
	return "posts = [\n" + strings.Join(lines, "\n") + "\n]"
}

func quoted(text string) string { return `"` + text + `"` }

// lengthText writes a length (m) as a file has it: rounded up at so many digits of a metre or
// an inch, or whole for none.
func (s *spacingSearch) lengthText(v float64, digits int) string {
	unit := "m"
	if s.o.Units == quantity.US {
		unit = "in"
	}
	v = quantity.In(v, unit)
	if digits == 0 {
		v = quantity.Figures(v, 9)
	} else {
		step := math.Pow10(digits)
		v = quantity.Figures(math.Ceil(v*step-1e-6)/step, 12)
	}
	return strings.TrimSuffix(metres(v), "m") + unit
}

// stands reports whether length and spacing give the posts of a definition.
func (s *spacingSearch) stands(d *barrier.Definition, length, spacing string) bool {
	changes := []barrier.Change{{Path: "run.posts"}, {Path: "run.spacing", Value: spacing}}
	if !given(s.file, "run.legs") {
		changes = append(changes, barrier.Change{Path: "run.length", Value: length})
	}
	written, err := s.doc.Definition(changes...)
	return err == nil && slices.EqualFunc(written.Supports(), d.Supports(), func(a, b float64) bool { return math.Abs(a-b) < setOut/100 })
}

// note says what the numbers do not.
func (s *spacingSearch) note(out *Spacing) {
	say := func(format string, args ...any) {
		out.Notes = append(out.Notes, quantity.Say(format, args...).In(s.o.Units))
	}
	declared, alone := &out.Columns[0], &out.Columns[1]
	switch {
	case out.OnlyBySharing && alone.Largest == nil:
		say("This spacing exists only by sharing: where no post helps another, no spacing passes.")
	case out.OnlyBySharing:
		say("This spacing exists only by sharing: where no post helps another, the largest is %s.", quantity.Place(*alone.Largest))
	}
	s.noteLength(out, say)
	s.noteOddBays(out, say)
	s.noteBelow(out, say)
	s.noteBeyond(declared, say)
	s.noteGeometry(declared.Rows, say)
	if len(s.file.Braces) > 0 {
		say("Braces stay at the posts that the file numbers, wherever those stand.")
	}
}

// noteLength says of an answer that no check limits what would show a larger one.
func (s *spacingSearch) noteLength(out *Spacing, say func(string, ...any)) {
	switch {
	case !s.isLimitedByLength(out):
	case given(s.file, "run.legs"):
		say("Limited by the length of the legs, not by a check: longer ones in run.legs may have a larger spacing.")
	default:
		say("Limited by the length of the run, not by a check: --on looks at a longer one.")
	}
}

// noteOddBays says of the answer how short an odd bay is, and which equal bays need no more posts.
func (s *spacingSearch) noteOddBays(out *Spacing, say func(string, ...any)) {
	row := out.answer()
	if row == nil || len(row.OddBays) == 0 {
		return
	}
	switch shortest := quantity.Place(slices.Min(row.OddBays)); row.ShortOddBay() {
	case "very short":
		say("An odd bay of %s is very short: fittings or feet may clash.", shortest)
	case "short":
		say("An odd bay of %s is short, under a third of the spacing.", shortest)
	}
	l := s.ground.at(row.Spacing)
	if equal := s.ground.equalBays(&l); equal < row.Spacing*(1-rounding) {
		say("Equal bays of %s use as many posts; a call without --grid checks them.", quantity.Place(equal))
	}
}

// noteBelow says which smaller spacings fail, and how far was looked.
func (s *spacingSearch) noteBelow(out *Spacing, say func(string, ...any)) {
	if out.Largest == nil {
		return
	}
	declared := &out.Columns[0]
	var fails, unbuilt, untrusted []string
	smallest, below := *out.Largest, 0
	for _, row := range declared.Rows {
		if row.Spacing >= *out.Largest {
			continue
		}
		smallest = row.Spacing
		below++
		switch row.Status {
		case check.Fail:
			fails = append(fails, s.place(row.Spacing))
		case Refused:
			unbuilt = append(unbuilt, s.place(row.Spacing))
		case NotTrusted:
			untrusted = append(untrusted, s.place(row.Spacing))
		}
	}
	notLooked := "closer ones were not looked at"
	if s.o.DownTo == 0 && below >= judgedMost {
		notLooked += fmt.Sprintf(": the rows end %d layouts below the answer; write --down-to to see further", judgedMost)
	}
	switch {
	case len(fails) > 0:
		say("Not every smaller spacing passes: of those down to %s these fail: %s.", quantity.Place(smallest), list(shortened(fails)))
		if sure := sureFrom(declared.Rows); sure > 0 {
			say("From %s down to there none fails.", quantity.Place(sure))
		}
		if below >= judgedMost && s.o.DownTo == 0 {
			say("%s.", strings.ToUpper(notLooked[:1])+notLooked[1:])
		}
	case smallest < *out.Largest && len(unbuilt)+len(untrusted) == 0:
		say("Every smaller spacing that can be set out, down to %s, passes what was checked; %s.", quantity.Place(smallest), notLooked)
	case smallest < *out.Largest:
		say("No smaller spacing down to %s fails; %s.", quantity.Place(smallest), notLooked)
	default:
		say("No smaller spacing was looked at.")
	}
	if len(unbuilt) > 0 {
		say("Not checked, for they cannot be built as declared: %s.", list(shortened(unbuilt)))
	}
	if len(untrusted) > 0 {
		say("Not told, for their calculation could not be trusted: %s.", list(shortened(untrusted)))
	}
}

// sureFrom returns the largest spacing of the rows, m, from which down none fails; 0 where the
// smallest does.
func sureFrom(rows []SpacingRow) float64 {
	sure := 0.0
	for _, row := range slices.Backward(rows) {
		switch row.Status {
		case check.Fail:
			return sure
		case check.Pass, check.Incomplete:
			sure = row.Spacing
		}
	}
	return sure
}

// shortened keeps the first of many words.
func shortened(words []string) []string {
	const most = 8
	if more := len(words) - most; more > 0 {
		return append(slices.Clone(words[:most]), fmt.Sprintf("%d more", more))
	}
	return words
}

// noteBeyond says of larger layouts which were not checked.
func (s *spacingSearch) noteBeyond(declared *SpacingColumn, say func(string, ...any)) {
	if n := declared.Beyond.layouts(); n > 0 {
		say("Layouts of larger spacing, from %s on, are not in the table: %s.", quantity.Place(s.spacings[n-1]), declared.Beyond.words())
	}
	unbuilt := 0
	reason := ""
	for _, row := range declared.Rows {
		if row.Status == Refused && (declared.Largest == nil || row.Spacing > *declared.Largest) {
			unbuilt++
			reason = row.Reason
		}
	}
	switch {
	case unbuilt == 1:
		say("1 larger layout cannot be built as declared (%s): change what stands against it, and the largest spacing may be another.", reason)
	case unbuilt > 1:
		say("%d larger layouts cannot be built as declared (the smallest of them: %s): change what stands against it, and the largest spacing may be another.", unbuilt, reason)
	}
}

// noteGeometry says of layouts all of which break a geometry rule which they are. One that finds
// the same in each of several no spacing mends.
func (s *spacingSearch) noteGeometry(rows []SpacingRow, say func(string, ...any)) {
	rows = slices.DeleteFunc(slices.Clone(rows), func(r SpacingRow) bool { return !r.isBuilt() })
	if len(rows) == 0 || slices.ContainsFunc(rows, func(r SpacingRow) bool { return len(r.Broken) == 0 }) {
		return
	}
	var never, some []string
	for _, rule := range brokenRules(rows) {
		same := len(rows) > 1
		var at []string
		for i := range rows {
			if g := rows[i].breaks(rule); g != nil {
				same = same && g.Found == rule.Found
				at = append(at, s.place(rows[i].Spacing))
			}
		}
		switch everywhere := len(at) == len(rows); {
		case everywhere && same:
			never = append(never, rule.Rule)
		case everywhere:
			some = append(some, rule.Rule+", at each of them")
		default:
			some = append(some, rule.Rule+", at "+list(shortened(at)))
		}
	}
	switch {
	case len(never) == 1:
		say("A geometry rule fails at every spacing that was worked out, and no spacing mends it: %s.", never[0])
	case len(never) > 1:
		say("Geometry rules fail at every spacing that was worked out, and no spacing mends them: %s.", strings.Join(never, "; "))
	default:
		say("A geometry rule fails at every spacing that was worked out, down to %s: %s.", quantity.Place(rows[len(rows)-1].Spacing), strings.Join(some, "; "))
	}
}

// brokenRules returns the geometry rules that layouts break, each once, as the first that does so has it.
func brokenRules(rows []SpacingRow) (rules []check.GeometryRow) {
	for i := range rows {
		for _, g := range rows[i].Broken {
			if !slices.ContainsFunc(rules, func(known check.GeometryRow) bool { return known.Rule == g.Rule && known.Standard == g.Standard }) {
				rules = append(rules, g)
			}
		}
	}
	return rules
}

// breaks returns what a layout has of a geometry rule that it breaks; nil for one that it keeps.
func (r *SpacingRow) breaks(rule check.GeometryRow) *check.GeometryRow {
	at := slices.IndexFunc(r.Broken, func(g check.GeometryRow) bool { return g.Rule == rule.Rule && g.Standard == rule.Standard })
	if at < 0 {
		return nil
	}
	return &r.Broken[at]
}

// words say what became of the layouts.
func (b *Beyond) words() string {
	var words []string
	for _, c := range []struct {
		n    int
		what string
	}{{b.Fail, "failing"}, {b.Refused, "refused"}, {b.NotTrusted, "not trusted"}} {
		if c.n > 0 {
			words = append(words, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	return list(words)
}
