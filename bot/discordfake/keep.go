package discordfake

// kept is a map that forgets what was put in first.
type kept[V any] struct {
	max   int
	m     map[string]V
	order []string // those gone meanwhile are skipped
}

func (k *kept[V]) get(key string) (V, bool) {
	v, ok := k.m[key]
	return v, ok
}

func (k *kept[V]) put(key string, v V) {
	if k.m == nil {
		k.m = make(map[string]V)
	}
	if _, ok := k.m[key]; !ok {
		k.order = append(k.order, key)
	}
	k.m[key] = v
	for len(k.order) > k.max {
		delete(k.m, k.order[0])
		k.order = k.order[1:]
	}
}

func (k *kept[V]) drop(key string) { delete(k.m, key) }

// all returns what is kept, oldest first.
func (k *kept[V]) all() []V {
	out := make([]V, 0, len(k.m))
	for _, key := range k.order {
		if v, ok := k.m[key]; ok {
			out = append(out, v)
		}
	}
	return out
}

// files keeps uploaded bytes up to a total.
type files struct {
	max, total int64
	m          map[string]upload
	order      []string
}

func (f *files) put(id string, u upload) {
	if f.m == nil {
		f.m = make(map[string]upload)
	}
	f.m[id] = u
	f.order = append(f.order, id)
	f.total += int64(len(u.data))
	for f.total > f.max {
		first := f.order[0]
		f.order = f.order[1:]
		f.total -= int64(len(f.m[first].data))
		delete(f.m, first)
	}
}
