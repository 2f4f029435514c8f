package bot

import (
	"sync"
	"time"
)

// workers computes answers on goroutines that are kept for a moment: reading a line
// takes a deep stack, which a new goroutine must grow and copy each time.
type workers struct {
	tasks chan func()
	idle  time.Duration // how long one waits for more to do
	over  chan struct{} // closed: none waits any longer
	once  sync.Once
}

// kept is how long a worker waits for more to do. Common practice, no source.
const kept = time.Second

func newWorkers(idle time.Duration) *workers {
	return &workers{tasks: make(chan func()), idle: idle, over: make(chan struct{})}
}

// do lets an idle worker do something, or a new one.
func (w *workers) do(task func()) {
	select {
	case w.tasks <- task:
	default:
		go w.work(task)
	}
}

// dismiss lets those go that have nothing to do, now and from now on.
func (w *workers) dismiss() { w.once.Do(func() { close(w.over) }) }

func (w *workers) work(task func()) {
	enough := time.NewTimer(w.idle)
	defer enough.Stop()
	for {
		task()
		enough.Reset(w.idle)
		select {
		case task = <-w.tasks:
		case <-enough.C:
			return
		case <-w.over:
			return
		}
	}
}
