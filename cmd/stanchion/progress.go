package main

import (
	"io"
	"os"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows how far long work has come: a bar on a terminal, nothing elsewhere. What it
// drew is erased at the end, after which it draws no more.
type progress struct {
	mu  sync.Mutex
	out io.Writer // nil where nothing is shown
	bar *progressbar.ProgressBar
}

// newProgress returns a progress for standard error.
func newProgress(stderr io.Writer) *progress {
	file, ok := stderr.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return &progress{}
	}
	return &progress{out: stderr}
}

// at tells that so many of all are done.
func (p *progress) at(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.out == nil {
		return
	}
	if p.bar == nil {
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.out),
			progressbar.OptionSetWidth(30),
			progressbar.OptionShowCount(),
			progressbar.OptionThrottle(100*time.Millisecond),
			progressbar.OptionClearOnFinish(),
		)
	}
	// A terminal that cannot be written to any more is no reason to stop.
	_ = p.bar.Set(done)
}

// erase takes the bar away.
func (p *progress) erase() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.bar != nil {
		_ = p.bar.Clear()
	}
	p.out = nil
}
