package barrier

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// readLimits reads [limits] and judges the user's own against those of the schedules and of
// the set of limits. All of it may be left out.
func (t table) readLimits(run runDraft, post postDraft, rails []railDraft) {
	limits, ok := t.child("limits", limitsTable)
	if !ok {
		return
	}
	l, size := &t.def.Limits, sizeOf(run, post, rails)
	l.Override, _ = limits.flag("override")
	switch {
	case limits.has("rule") && limits.has("deflection"):
		limits.faultOfKey(limits.at("rule"), "rule and deflection exclude each other", limits.like(`keep one: deflection = "25 mm", or rule = "h/24 + L/96"`))
	case limits.has("rule"):
		l.Deflection = limits.limit("rule", size.post, "the post is %s long", size)
	case limits.values["deflection"] == "none":
		l.DeflectionNone = true
	default:
		l.Deflection = limits.limit("deflection", size.post, "the post is %s long", size)
	}
	l.Post = limits.limit("post", size.post, "the post is %s long", size)
	l.Span = limits.limit("span", size.bay, "the longest bay is %s", size)
	l.Vertical = limits.limit("vertical", size.bay, "the longest bay is %s", size)
	l.Standard = limits.readStandard()
	limits.sayLetters(size)
	limits.compareLimits(size)
}

// size is what a limit of movement is measured by, m; NaN or +Inf where it is not known.
type size struct {
	post   float64 // length of the post
	bay    float64 // of the longest bay
	least  float64 // of the shortest bay
	height float64 // h of a rule
}

// sizeOf takes the size of the barrier as far as it could be read.
func sizeOf(run runDraft, post postDraft, rails []railDraft) size {
	s := size{post: post.length(), bay: run.longestBay(), least: run.shortestBay(), height: math.NaN()}
	if !post.levelOK || len(rails) == 0 {
		return s
	}
	highest := 0.0
	for _, rail := range rails {
		if !rail.heightOK {
			return s
		}
		highest = math.Max(highest, rail.Height)
	}
	s.height = highest - math.Max(0, post.Base.Level)
	return s
}

// bays returns the bays between whose lengths all lie, where they are known: a limit is
// linear in the length, so that one of two is looser somewhere if it is in one of these.
func (s size) bays() []float64 { return []float64{s.least, s.bay} }

// in returns a limit in a bay, m; NaN where it depends on what is not known.
func (s size) in(l *Limit, bay float64) float64 {
	s.bay = bay
	return s.largest(l)
}

// largest returns the largest value of a limit over the bays, m; NaN where it is not known.
func (s size) largest(l *Limit) float64 {
	value := l.Length
	if l.PerHeight > 0 {
		value += l.PerHeight * s.height
	}
	if l.PerBay > 0 && math.IsInf(s.bay, 1) {
		return math.NaN()
	}
	if l.PerBay > 0 {
		value += l.PerBay * s.bay
	}
	return value
}

// limit reads a limit of movement that makes sense only below a length of the barrier;
// nil where none could be read.
func (t table) limit(key string, below float64, what string, s size) *Limit {
	if !t.has(key) {
		return nil
	}
	if word, isText := t.values[key].(string); isText {
		if near, ok := likely(word, []string{"none"}); ok && key == "deflection" {
			t.fault(t.at(key), "unknown word "+quote(word), `write "`+near+`", or a limit such as `+t.like(`"25 mm"`))
			return nil
		}
	}
	limit, ok := t.readRule(key)
	if !ok {
		return nil
	}
	if largest := s.largest(limit); largest >= below {
		t.fault(t.at(key), fmt.Sprintf("a limit of %s makes no sense: "+what, t.sizeText(largest), t.sizeText(below)), t.like(`write a limit such as "25 mm", or a rule such as "h/24 + L/96"`))
		return nil
	}
	return limit
}

// sayLetters says what h and L of a rule are, where one is given.
func (t table) sayLetters(s size) {
	l := t.def.Limits
	all := []*Limit{l.Deflection, l.Post, l.Span, l.Vertical}
	if l.Standard != nil {
		for _, ruled := range l.Standard.Limits {
			all = append(all, &Limit{PerHeight: ruled.PerHeight, PerBay: ruled.PerBay})
		}
	}
	for _, limit := range all {
		if limit != nil && limit.PerHeight+limit.PerBay > 0 {
			t.assume("In a rule of limits h is the height of the axis of the highest rail above the walking surface, or above the foot where that is higher, %s; L is the length of the bay, at a post that of the shorter one beside it, in an overhang that of the bay beside it.",
				quantity.Size(s.height))
			return
		}
	}
}

// readStandard reads the name of a set of limits; nil where none could be read.
func (t table) readStandard() *loads.LimitSet {
	name, ok := t.text("standard", "ASTM E985")
	if !ok || t.isTooLong(t.at("standard"), name) {
		return nil
	}
	set, err := loads.FindLimitSet(name)
	if unknown, isUnknown := errors.AsType[*loads.UnknownLimitSetError](err); isUnknown {
		t.fault(t.at("standard"), "no set of limits is called "+quote(name), suggestion(unknown.Nearest, "write "+oneOf(unknown.Choices)))
		return nil
	}
	if err != nil {
		t.fault(t.at("standard"), err.Error(), `write "ASTM E985", or leave it out`)
		return nil
	}
	for _, caution := range set.Cautions {
		t.caution("%s", caution)
	}
	return &set
}

// printed is half of the last digit, m, of a limit that is printed in inches: one that is
// copied from a message is no looser.
const printed = 0.0127e-3

// ownLimit is a limit of the user's own of one movement.
type ownLimit struct {
	key   string // under which it stands
	of    string // loads.LimitTotal, ...
	limit *Limit
	none  bool // no limit is wanted
}

// compareLimits reports the limits of the user's own that are looser than that of a schedule
// or of a set of limits, of the same movement and in any bay, unless the user says that it is
// meant.
func (t table) compareLimits(s size) {
	l := t.def.Limits
	total := ownLimit{"deflection", loads.LimitTotal, l.Deflection, l.DeflectionNone}
	if t.has("rule") {
		total.key = "rule"
	}
	for _, own := range []ownLimit{
		total,
		{"post", loads.LimitPost, l.Post, false},
		{"span", loads.LimitSpan, l.Span, false},
		{"vertical", loads.LimitVertical, l.Vertical, false},
	} {
		if own.limit != nil || own.none {
			t.compareLimit(own, s)
		}
	}
}

// ruledLimit is a limit of a schedule or of a set of limits.
type ruledLimit struct {
	Limit
	by string // whose it is
}

// ruledLimits returns the limits of a movement that schedules and the set of limits have.
func (r *reader) ruledLimits(of string) []ruledLimit {
	var all []ruledLimit
	add := func(limits []loads.Limit, by string) {
		for _, l := range limits {
			if l.Of == of {
				all = append(all, ruledLimit{Limit{Length: l.Deflection, PerHeight: l.PerHeight, PerBay: l.PerBay, Rule: l.Rule}, by})
			}
		}
	}
	for _, load := range r.def.Loads {
		if load.Schedule != nil {
			add(load.Schedule.Limits, load.Schedule.Name)
		}
	}
	if set := r.def.Limits.Standard; set != nil {
		add(set.Limits, set.Name)
	}
	return all
}

// compareLimit reports a limit of the user's own that is looser than another of the same
// movement: the strictest of them, in the bay where it is.
func (t table) compareLimit(own ownLimit, s size) {
	strictest, by := math.Inf(1), ruledLimit{}
	for _, ruled := range t.ruledLimits(own.of) {
		for _, bay := range s.bays() {
			at := s.in(&ruled.Limit, bay)
			looser := own.none || s.in(own.limit, bay) > at+printed
			if looser && at < strictest {
				strictest, by = at, ruled
			}
		}
	}
	if by.by == "" {
		return
	}
	said := quantity.Say(`deflection = "none"`)
	switch {
	case own.none:
	case own.limit.Rule != "":
		said = quantity.Say("a limit of up to %s by %s", quantity.Size(s.largest(own.limit)), own.limit.Rule)
	default:
		said = quantity.Say("a limit of %s", quantity.Size(own.limit.Length))
	}
	rule := ""
	if by.Rule != "" {
		rule = " by " + by.Rule
	}
	if t.def.Limits.Override {
		t.caution("The user's own limit (%s) stands in place of the %s%s of %s: override = true.", said, quantity.Size(strictest), rule, by.by)
		return
	}
	if t.has("override") && t.values["override"] != false {
		return // override could not be read
	}
	right := t.sizeText(strictest)
	if by.Rule != "" {
		right = by.Rule
	}
	t.fault(t.at(own.key), fmt.Sprintf("%s is looser than the %s%s of %s", said.In(t.def.Units), t.sizeText(strictest), rule, by.by),
		fmt.Sprintf("write %q or less, leave it out, or add override = true", right))
}

// length is the length of the post, m, +Inf where it is not known.
func (p postDraft) length() float64 {
	if !p.heightOK || !p.levelOK {
		return math.Inf(1)
	}
	return p.Height - p.Base.Level
}

// longestBay is the length of the longest bay with rails, m, +Inf where it is not known.
func (r runDraft) longestBay() float64 {
	if !r.known() {
		return math.Inf(1)
	}
	supports, longest := r.Supports(), 0.0
	for i := 1; i < len(supports); i++ {
		if !r.isGapFrom(supports[i-1]) {
			longest = math.Max(longest, supports[i]-supports[i-1])
		}
	}
	return longest
}

// shortestBay is the length of the shortest bay with rails, m, +Inf where it is not known.
func (r runDraft) shortestBay() float64 {
	shortest := math.Inf(1)
	if !r.known() {
		return shortest
	}
	supports := r.Supports()
	for i := 1; i < len(supports); i++ {
		if !r.isGapFrom(supports[i-1]) {
			shortest = math.Min(shortest, supports[i]-supports[i-1])
		}
	}
	return shortest
}

// readScope reads [scope]: what the user has checked elsewhere.
func (t table) readScope() {
	scope, ok := t.child("scope", scopeTable)
	if !ok {
		return
	}
	words := []string{"fitting", "base", "geometry"}
	example := `["fitting", "base"]`
	if word, isText := scope.values["leave_out"].(string); isText && slices.Contains(words, word) {
		example = fmt.Sprintf("[%q]", word) // no more than was meant
	}
	values, ok := scope.list("leave_out", example)
	if !ok {
		return
	}
	left := &t.def.LeaveOut
	known := map[string]*bool{"fitting": &left.Fitting, "base": &left.Base, "geometry": &left.Geometry}
	for i, value := range values {
		path := element(scope.at("leave_out"), i)
		word, isText := value.(string)
		if !isText {
			t.fault(path, "a word in quotes is wanted, this is "+kindOf(value), "write "+oneOf(words))
			continue
		}
		if what, fix := choice(word, words, nil); what != "" {
			t.fault(path, what, fix)
			continue
		}
		*known[word] = true
	}
}
