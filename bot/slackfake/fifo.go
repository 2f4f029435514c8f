package slackfake

// fifo is a map that forgets what was put into it first when it is full, so that a
// server that runs for long does not grow.
type fifo[K comparable, V any] struct {
	most  int
	order []K
	items map[K]V
}

func newFIFO[K comparable, V any](most int) *fifo[K, V] {
	return &fifo[K, V]{most: most, items: make(map[K]V)}
}

func (f *fifo[K, V]) put(k K, v V) {
	if _, ok := f.items[k]; !ok {
		f.order = append(f.order, k)
	}
	f.items[k] = v
	for len(f.items) > f.most && len(f.order) > 0 {
		delete(f.items, f.order[0])
		f.order = f.order[1:]
	}
}

func (f *fifo[K, V]) get(k K) (V, bool) {
	v, ok := f.items[k]
	return v, ok
}

// take returns an item and forgets it. Its key stays in the order until its turn
// comes, when deleting it does nothing: keys here are never used twice.
func (f *fifo[K, V]) take(k K) (V, bool) {
	v, ok := f.items[k]
	delete(f.items, k)
	if len(f.order) > 2*f.most+16 {
		kept := make([]K, 0, len(f.items))
		for _, k := range f.order {
			if _, ok := f.items[k]; ok {
				kept = append(kept, k)
			}
		}
		f.order = kept
	}
	return v, ok
}

// all returns the items, the oldest first.
func (f *fifo[K, V]) all() []V {
	out := make([]V, 0, len(f.items))
	for _, k := range f.order {
		if v, ok := f.items[k]; ok {
			out = append(out, v)
		}
	}
	return out
}

// last appends to a list that keeps the newest items only. It moves them rarely.
func last[T any](list []T, item T, most int) []T {
	if len(list) >= 2*most {
		list = append(make([]T, 0, 2*most), list[len(list)-most+1:]...)
	}
	return append(list, item)
}

// newest returns a copy of at most so many items from the end.
func newest[T any](list []T, most int) []T {
	return append([]T(nil), list[max(0, len(list)-most):]...)
}
