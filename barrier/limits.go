package barrier

import (
	"fmt"
	"math"

	"example.com/stanchion/internal/quantity"
)

// readLimits reads [limits] and judges the limit of deflection against those of the
// schedules. All of it may be left out.
func (t table) readLimits(run runDraft, post postDraft) {
	limits, ok := t.child("limits", limitsTable)
	if !ok {
		return
	}
	l := &t.def.Limits
	l.Override, _ = limits.flag("override")
	if limits.values["deflection"] == "none" {
		l.DeflectionNone = true
	} else {
		l.Deflection = limits.limit("deflection", post.length(), "the post is %s long")
	}
	l.Post = limits.limit("post", post.length(), "the post is %s long")
	l.Span = limits.limit("span", run.longestBay(), "the longest bay is %s")
	l.Vertical = limits.limit("vertical", run.longestBay(), "the longest bay is %s")
	limits.compareDeflection()
}

// limit reads a limit of movement, m, that makes sense only below a length of the
// barrier; nil where none could be read.
func (t table) limit(key string, below float64, what string) *float64 {
	if !t.has(key) {
		return nil
	}
	if word, isText := t.values[key].(string); isText {
		if near, ok := likely(word, []string{"none"}); ok && key == "deflection" {
			t.fault(t.at(key), "unknown word "+quote(word), `write "`+near+`", or a limit such as "25 mm"`)
			return nil
		}
	}
	limit, ok := t.positive(key, quantity.Length)
	if !ok {
		return nil
	}
	if limit >= below {
		t.fault(t.at(key), fmt.Sprintf("a limit of %s makes no sense: "+what, lengthText(limit), lengthText(below)), `write a limit such as "25 mm"`)
		return nil
	}
	return &limit
}

// compareDeflection reports a limit that is looser than that of a schedule, unless the
// user says that it is meant.
func (t table) compareDeflection() {
	l := t.def.Limits
	strictest, by := math.Inf(1), ""
	for _, load := range t.def.Loads {
		if s := load.Schedule; s != nil && s.Limit != nil && s.Limit.Deflection < strictest {
			strictest, by = s.Limit.Deflection, s.Name
		}
	}
	own := `deflection = "none"`
	switch {
	case by == "":
		return
	case l.DeflectionNone: // looser than any
	case l.Deflection == nil || *l.Deflection <= strictest+slack:
		return
	default:
		own = "a limit of " + lengthText(*l.Deflection)
	}
	if l.Override {
		t.caution("The user's own limit (%s) stands in place of the %s of %s: override = true.", own, lengthText(strictest), by)
		return
	}
	if t.has("override") && t.values["override"] != false {
		return // override could not be read
	}
	t.fault(t.at("deflection"), fmt.Sprintf("%s is looser than the %s of %s", own, lengthText(strictest), by),
		fmt.Sprintf("write %q or less, leave it out, or add override = true", lengthText(strictest)))
}

// length is the length of the post, m, +Inf where it is not known.
func (p postDraft) length() float64 {
	if !p.heightOK || !p.levelOK {
		return math.Inf(1)
	}
	return p.Height - p.Base.Level
}

// longestBay is the length of the longest bay, m, +Inf where it is not known.
func (r runDraft) longestBay() float64 {
	if r.posts == nil {
		return math.Inf(1)
	}
	longest := 0.0
	for i := 1; i < len(r.posts); i++ {
		longest = math.Max(longest, r.posts[i]-r.posts[i-1])
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
