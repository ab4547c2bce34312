package barrier_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/golden"
)

// TestBadStocks reads each broken list of testdata/stock, and compares the whole message with the
// golden beside it.
func TestBadStocks(t *testing.T) {
	files, err := filepath.Glob("testdata/stock/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatalf("no broken lists: %v", err)
	}
	d := walkway(t)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			_, err = barrier.ReadStock(filepath.Base(file), data, d)
			problems, ok := errors.AsType[barrier.Problems](err)
			if !ok {
				t.Fatalf("ReadStock = %v, want Problems", err)
			}
			golden.Check(t, strings.TrimSuffix(file, ".csv")+".txt", []byte(problems.Error()+"\n"))
		})
	}
}

// TestStock reads a stock from the file and the same from a list.
func TestStock(t *testing.T) {
	const inFile = `
[stock]
currency      = "crowns"
fitting_price = 9.5
foot_price    = 42

[[stock.tubes]]
tube        = "EN 10219 48.3x3.2"
grade       = "S235JRH"
price_per_m = 7.2

[[stock.tubes]]
tube         = "EN 10255 DN40 medium"
grade        = "S195T"
use          = "rail"
price_per_ft = 2
`
	const list = "price_per_ft,price_per_m,use,tube,grade\n,7.2,,EN 10219 48.3x3.2,S235JRH\n2,,rail,\"EN 10255 DN40 medium\",S195T\n"
	plain, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse("gallery.toml", append(plain, inFile...))
	if err != nil {
		t.Fatal(err)
	}
	listed, err := barrier.ReadStock("yard.csv", []byte(list), d)
	if err != nil {
		t.Fatal(err)
	}
	for name, stock := range map[string]*barrier.Stock{"file": d.Stock, "list": listed} {
		if len(stock.Tubes) != 2 || stock.Currency != "crowns" || *stock.Fitting != 9.5 || *stock.Foot != 42 {
			t.Fatalf("%s: %+v", name, stock)
		}
		first, second := stock.Tubes[0], stock.Tubes[1]
		if first.Name != "EN 10219 48.3x3.2" || first.Grade.Name != "S235JRH" || first.Use != barrier.ForBoth || *first.Price != 7.2 {
			t.Errorf("%s: first %+v", name, first)
		}
		if second.Name != "EN 10255 DN40 medium" || math.Abs(second.Ring.OD-0.0483) > 1e-12 || second.Use != barrier.ForRails {
			t.Errorf("%s: second %+v", name, second)
		}
		if want := 2 / 0.3048; math.Abs(*second.Price-want) > 1e-12 { // 1 ft is 0.3048 m
			t.Errorf("%s: 2 a foot is %v a metre, want %v", name, *second.Price, want)
		}
	}
	// A stock says nothing of the barrier that is checked.
	without, err := barrier.Parse("gallery.toml", plain)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Cautions) != len(without.Cautions) || len(d.Assumptions) != len(without.Assumptions) {
		t.Errorf("a stock brings cautions %v and assumptions %v", d.Cautions, d.Assumptions)
	}
}

// TestStockOfOwnSizes lists a size and a grade of the user's own.
func TestStockOfOwnSizes(t *testing.T) {
	plain, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	const own = `
[stock]
tubes = [{ tube = { od = "50 mm", wall = "3 mm" }, grade = { fy = "250 MPa", fu = "360 MPa" } }]
`
	d, err := barrier.Parse("gallery.toml", append(plain, own...))
	if err != nil {
		t.Fatal(err)
	}
	doc, err := barrier.Read("gallery.toml", append(plain, own...))
	if err != nil {
		t.Fatal(err)
	}
	tube := d.Stock.Tubes[0]
	built, err := doc.Definition(barrier.Change{Path: "stock"}, barrier.Change{Path: "post.tube", Value: tube.Written}, barrier.Change{Path: "post.grade", Value: tube.WrittenGrade})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(built.Post.Ring.OD-0.05) > 1e-12 || math.Abs(built.Post.Ring.Wall-0.003) > 1e-12 || built.Post.Grade.Fy != 250e6 || built.Stock != nil {
		t.Errorf("a barrier of it has %+v", built.Post.Member)
	}
}

// FuzzReadStock: no list brings the reader down, and every problem has a place within it.
func FuzzReadStock(f *testing.F) {
	files, _ := filepath.Glob("testdata/stock/*.csv")
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	d := walkway(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		stock, err := barrier.ReadStock("x.csv", data, d)
		problems, faulty := errors.AsType[barrier.Problems](err)
		if faulty == (stock != nil) || err != nil && !faulty {
			t.Fatalf("%+v, %v", stock, err)
		}
		for _, p := range problems {
			if p.Pos.Line < 1 || p.Pos.Line > 1+strings.Count(string(data), "\n") || p.Pos.Col < 1 {
				t.Fatalf("a problem at %v of %q", p.Pos, data)
			}
		}
	})
}

func walkway(t testing.TB) *barrier.Definition {
	t.Helper()
	data, err := os.ReadFile("testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := barrier.Parse("gallery.toml", data)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
