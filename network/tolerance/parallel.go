package tolerance

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// chunk is the number of builds that a worker takes at a time.
const chunk = 32

// each lets as many workers as there are cores do what is numbered 0 to n−1,
// until one fails or the context ends, and returns its cause. After every
// chunk done is told how many are done.
func (m *model) each(ctx context.Context, n int, progress func(done int), do func(w *worker, i int) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var next atomic.Int64
	var group sync.WaitGroup
	tell := teller(progress)
	for range min(runtime.GOMAXPROCS(0), (n+chunk-1)/chunk) {
		group.Go(func() {
			w := m.newWorker()
			for {
				to := int(next.Add(chunk))
				from := to - chunk
				to = min(to, n)
				for i := from; i < to; i++ {
					if ctx.Err() != nil {
						return
					}
					if err := do(w, i); err != nil {
						cancel(err)
						return
					}
				}
				if from >= n {
					return
				}
				tell(to - from)
			}
		})
	}
	group.Wait()
	return context.Cause(ctx)
}

// teller adds up what is done and tells progress.
func teller(progress func(done int)) func(more int) {
	if progress == nil {
		return func(int) {}
	}
	var lock sync.Mutex
	done := 0
	return func(more int) {
		lock.Lock()
		defer lock.Unlock()
		done += more
		progress(done)
	}
}
