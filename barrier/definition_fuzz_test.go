package barrier_test

import (
	"errors"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
)

// FuzzDefinition reads anything. There is no panic; a problem lies in the file and its
// excerpt is the line; a definition that is read is whole: posts ascend, every section
// is real, every splice is on its rail.
func FuzzDefinition(f *testing.F) {
	for _, pattern := range []string{"testdata/*.toml", "testdata/bad/*.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			f.Add([]byte(readFile(f, file)))
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := barrier.Parse("fuzz.toml", data)
		if err != nil {
			judgeProblems(t, data, err)
			return
		}
		judgeDefinition(t, d)
	})
}

func judgeProblems(t *testing.T, data []byte, err error) {
	problems, ok := errors.AsType[barrier.Problems](err)
	if !ok || len(problems) == 0 {
		t.Fatalf("%v is not a list of problems", err)
	}
	lines := strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n")
	before := barrier.Position{}
	for _, p := range problems {
		pos := p.Pos
		if pos.Line < before.Line || pos.Line == before.Line && pos.Col < before.Col {
			t.Fatalf("%v is told after %v", pos, before)
		}
		before = pos
		if p.What == "" {
			t.Fatalf("the problem at %v says nothing", pos)
		}
		if pos.Line == 0 {
			continue
		}
		if pos.Line > len(lines) || pos.Col < 1 || pos.Col > len([]rune(lines[pos.Line-1]))+1 {
			t.Fatalf("%v is not in the file: %v", pos, p)
		}
	}
	if text := err.Error(); strings.ContainsAny(text, "\x1b\x00\r") {
		t.Fatalf("the message holds control characters: %q", text)
	}
}

func judgeDefinition(t *testing.T, d *barrier.Definition) {
	posts := d.Run.Posts
	if len(posts) < 2 || len(d.Rails) == 0 || len(d.Loads) == 0 {
		t.Fatalf("%d posts, %d rails, %d loads", len(posts), len(d.Rails), len(d.Loads))
	}
	for i := 1; i < len(posts); i++ {
		if !(posts[i]-posts[i-1] >= d.Post.Ring.OD-1e-9) || math.IsInf(posts[i], 0) {
			t.Fatalf("posts at %v and %v", posts[i-1], posts[i])
		}
	}
	members := []barrier.Member{d.Post.Member}
	for i, rail := range d.Rails {
		members = append(members, rail.Member)
		if !(rail.Height > d.Post.Base.Level) || rail.Height > d.Post.Height+1e-9 {
			t.Fatalf("rail %d at %v on a post from %v to %v", i, rail.Height, d.Post.Base.Level, d.Post.Height)
		}
		ends := append(slices.Clone(rail.Splices), posts[len(posts)-1])
		if !rail.Through {
			ends = posts[1:]
		}
		from := posts[0]
		for _, to := range ends {
			if !(to > from) || rail.SpliceState == "given" && len(rail.Splices) > 0 && to-from > rail.Stock+1e-9 {
				t.Fatalf("rail %d has a piece from %v to %v", i, from, to)
			}
			from = to
		}
	}
	for _, m := range members {
		if !(m.Ring.I > 0) || !(m.Grade.Fy > 0) || !(m.Grade.E > 0) || !(m.Grade.G > 0) || !(m.Grade.Density > 0) || m.Name == "" {
			t.Fatalf("member %+v", m)
		}
	}
	for _, load := range d.Loads {
		if (load.Schedule == nil) == (load.Own == nil) || load.Own != nil && !(load.Own.Value > 0) {
			t.Fatalf("load %+v", load)
		}
	}
}
