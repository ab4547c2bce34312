package report

import (
	"slices"
	"testing"

	"example.com/stanchion/barrier/check"
)

// A post that does to its foot what its mirror image does is told by that one; one that does
// anything else is listed, and so is one whose image is not.
func TestTwinsAreToldOnce(t *testing.T) {
	row := func(post int, extreme string, fx, mx, my float64) check.BaseAction {
		return check.BaseAction{Post: post, ExtremeOf: extreme, Level: "design", Combination: "1.35 G + 1.50 Q", Fx: fx, Fy: -mx, Mx: mx, My: my}
	}
	posts := []check.PostRow{{Post: 1, X: 0}, {Post: 2, X: 1}, {Post: 3, X: 2}, {Post: 4, X: 3}}
	first := []check.BaseAction{row(1, "Mx+", 0, 500, 0), row(1, "My+", 70, 0, 62), row(1, "My-", -50, 0, -45)}
	twin := []check.BaseAction{row(4, "Mx+", 0, 500, 0), row(4, "My+", 50, 0, 45), row(4, "My-", -70, 0, -62)}
	for _, c := range []struct {
		name string
		rows []check.BaseAction
		want [][2]int
	}{
		{"mirrored", slices.Concat(first, twin), [][2]int{{1, 4}}},
		{"not mirrored but equal", slices.Concat(first, []check.BaseAction{row(4, "Mx+", 0, 500, 0), row(4, "My+", 70, 0, 62), row(4, "My-", -50, 0, -45)}), nil},
		{"a row more", slices.Concat(first, twin, []check.BaseAction{row(4, "V", 0, 1, 0)}), nil},
		{"without its image", slices.Concat([]check.BaseAction{row(2, "Mx+", 0, 500, 0)}, twin), nil},
	} {
		p := &printer{r: &check.Result{Posts: posts}}
		kept, twins := p.withoutTwins(c.rows)
		if !slices.Equal(twins, c.want) || len(kept) != len(c.rows)-len(twin)*len(c.want) {
			t.Errorf("%s: twins %v, %d rows kept", c.name, twins, len(kept))
		}
	}
	posts[3].X = 2.5
	p := &printer{r: &check.Result{Posts: append(posts, check.PostRow{Post: 5, X: 3})}}
	if _, twins := p.withoutTwins(slices.Concat([]check.BaseAction{row(2, "Mx+", 0, 500, 0)}, twin[:1])); twins != nil {
		t.Errorf("a post that stands elsewhere is a twin: %v", twins)
	}
}

// A load has one key with its combination at each level, another where a level has a second.
func TestKeysOfSeveralLevels(t *testing.T) {
	var k keys
	for _, c := range []struct{ level, combination, want string }{
		{"design", "1.35 G + 1.50 Q", "1"}, {"design", "1.00 G + 1.50 Q", "2"}, {"characteristic", "1.00 G + 1.00 Q", "1"}, {"design", "1.35 G + 1.50 Q", "1"},
	} {
		if got := k.of(c.level, c.combination, "point"); got != c.want {
			t.Errorf("%s %s has key %s, want %s", c.level, c.combination, got, c.want)
		}
	}
	if got, want := k.entries[0].text(true), "design 1.35 G + 1.50 Q, characteristic 1.00 G + 1.00 Q: point"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
