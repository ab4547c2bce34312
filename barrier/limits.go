package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
)

// readLimits reads [limits] and judges the limit of deflection against those of the
// schedules. All of it may be left out.
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
	limits.sayLetters(size)
	limits.compareDeflection(size)
}

// size is what a limit of movement is measured by, m; NaN or +Inf where it is not known.
type size struct {
	post   float64 // length of the post
	bay    float64 // of the longest bay
	height float64 // h of a rule
}

// sizeOf takes the size of the barrier as far as it could be read.
func sizeOf(run runDraft, post postDraft, rails []railDraft) size {
	s := size{post: post.length(), bay: run.longestBay(), height: math.NaN()}
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
	for _, limit := range []*Limit{l.Deflection, l.Post, l.Span, l.Vertical} {
		if limit != nil && limit.PerHeight+limit.PerBay > 0 {
			t.assume("In a rule of limits h is the height of the axis of the highest rail above the walking surface, or above the foot where that is higher, %s; L is the length of the bay, at a post that of the shorter one beside it, in an overhang that of the bay beside it.",
				quantity.Size(s.height))
			return
		}
	}
}

// printed is half of the last digit, m, of a limit that is printed in inches: one that is
// copied from a message is no looser.
const printed = 0.0127e-3

// compareDeflection reports a limit that is looser than that of a schedule, in any bay,
// unless the user says that it is meant.
func (t table) compareDeflection(s size) {
	l := t.def.Limits
	strictest, by := math.Inf(1), ""
	for _, load := range t.def.Loads {
		if s := load.Schedule; s != nil && s.Limit != nil && s.Limit.Deflection < strictest {
			strictest, by = s.Limit.Deflection, s.Name
		}
	}
	key, own := "deflection", quantity.Say(`deflection = "none"`)
	switch {
	case by == "":
		return
	case l.DeflectionNone: // looser than any
	case l.Deflection == nil || !(s.largest(l.Deflection) > strictest+printed):
		return
	case l.Deflection.Rule != "":
		own = quantity.Say("a limit of up to %s by %s", quantity.Size(s.largest(l.Deflection)), l.Deflection.Rule)
	default:
		own = quantity.Say("a limit of %s", quantity.Size(l.Deflection.Length))
	}
	if t.has("rule") {
		key = "rule"
	}
	if l.Override {
		t.caution("The user's own limit (%s) stands in place of the %s of %s: override = true.", own, quantity.Size(strictest), by)
		return
	}
	if t.has("override") && t.values["override"] != false {
		return // override could not be read
	}
	t.fault(t.at(key), fmt.Sprintf("%s is looser than the %s of %s", own.In(t.def.Units), t.sizeText(strictest), by),
		fmt.Sprintf("write %q or less, leave it out, or add override = true", t.sizeText(strictest)))
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

// readScope reads [scope]: what the user has checked elsewhere.
func (t table) readScope() {
	scope, ok := t.child("scope", scopeTable)
	if !ok {
		return
	}
	values, ok := scope.list("leave_out", `["fitting", "base"]`)
	if !ok {
		return
	}
	left := &t.def.LeaveOut
	known := map[string]*bool{"fitting": &left.Fitting, "base": &left.Base, "geometry": &left.Geometry}
	words := []string{"fitting", "base", "geometry"}
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
