package explore

import (
	"context"
	"runtime"
	"sync/atomic"
)

// InOrder does the work of 0 to n-1 on as many processors as there are, and delivers each
// outcome, in order, on the caller's goroutine as soon as its turn has come. It stops at the
// first error of deliver, and when ctx is done, with ctx's error; what has been begun is then
// left to end by itself, and do may not touch what the caller goes on to use.
//
// No more than a few outcomes for each processor wait for their turn, however large n is.
func InOrder[T any](ctx context.Context, n int, do func(i int) T, deliver func(i int, outcome T) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	workers := min(runtime.GOMAXPROCS(0), n)
	const ahead = 16 // outcomes that may wait, for each worker
	found := make([]chan T, workers*ahead)
	for i := range found {
		found[i] = make(chan T, 1) // nobody may be waiting any more
	}
	turns := make(chan struct{}, len(found)) // a slot is taken again when what it held is delivered
	for range len(found) {
		turns <- struct{}{}
	}
	var next atomic.Int64
	for range workers {
		go func() {
			for {
				select {
				case <-turns:
				case <-ctx.Done():
					return
				}
				i := int(next.Add(1)) - 1
				if i >= n || ctx.Err() != nil {
					return
				}
				found[i%len(found)] <- do(i)
			}
		}()
	}
	for i := range n {
		select {
		case outcome := <-found[i%len(found)]:
			if err := ctx.Err(); err != nil {
				return err
			}
			if err := deliver(i, outcome); err != nil {
				return err
			}
			turns <- struct{}{}
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}
