package read

import (
	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file reads two pressures that are told by how they felt: "bouncy at 16 but
// squirmy at 13". One alone is a complaint, and no matter of these options.

// softFeels and hardFeels say that there was too little air, and too much.
var (
	softFeels  = []string{"squirmy", "squirms", "squirming", "squirmed", "squidgy", "soft", "burps", "burped", "burping", "folds", "folded", "folding", "vague", "wallowy", "wallows", "mushy", "spongy", "rolls", "draggy", "sluggish", "schwammig", "weich", "mou", "blando", "blanda", "molle"}
	hardFeels  = []string{"bouncy", "bounces", "bounced", "bouncing", "harsh", "hard", "firm", "skips", "skipped", "skipping", "skittish", "chattery", "rough", "hart", "hüpft", "dur", "duro", "dura", "rebondit", "rebota", "rimbalza"}
	atWords    = []string{"at", "@", "with", "on", "under", "over", "below", "above", "bei", "mit", "à", "avec", "a", "con"}
	aboutWords = []string{"around", "about", "near", "circa", "environ"}
	tooWords   = []string{"too", "zu", "trop", "muy", "demasiado", "troppo"}
)

// bidFelt offers both pressures, where the line tells one of each.
func (s *scan) bidFelt() {
	soft, okay := s.r.the(softatOption)
	hard, ok := s.r.the(hardatOption)
	if !ok || !okay {
		return
	}
	low := s.feltAt(softFeels)
	if low.to == 0 {
		return
	}
	high := s.feltAt(hardFeels)
	if high.to == 0 || low.from < high.to && high.from < low.to {
		return
	}
	one, _ := s.endOf(low.from, low.to, spec.FrontRear)
	other, _ := s.endOf(high.from, high.to, spec.FrontRear)
	if one != other {
		return // "rear skips at 24 front burps at 18": two tyres
	}
	for _, x := range []struct {
		option int
		at     feltSpan
		felt   string
	}{{soft, low, "too soft"}, {hard, high, "too hard"}} {
		m := x.at.val.a
		b := bid{from: int8(x.at.from), to: int8(x.at.to), option: int16(x.option), cost: -rewardHint, said: true, why: "felt " + x.felt + ", by the words beside it"}
		if m.Unit == quantity.NoUnit {
			h, ok := s.r.options[x.option].numbers.habit(m, m, false, s.unitOf[quantity.KindPressure], false)
			if !ok {
				return
			}
			m.Unit = h.Unit
			b.why = "typed as " + quantity.Exact(m.Number) + ", read as " + m.Unit.String() + " by its size; " + b.why
		}
		b.value = m
		s.offer(s.boxed(b, spec.Both))
	}
}

// feltSpan are the tokens that tell a pressure with how it felt.
type feltSpan struct {
	span
	val val
}

// feltAt returns the tokens which tell the only pressure that felt so; none where there
// is none, or where there are several. The words stand before their numbers, "harsh at
// 25", or all behind them, "25 harsh 21 squirmy".
func (s *scan) feltAt(feels []string) (found feltSpan) {
	for _, v := range s.vals {
		if v.pair || v.a.Unit != quantity.NoUnit && v.a.Kind() != quantity.KindPressure {
			continue
		}
		at := v.from - 1
		for at > 0 && (s.isOneOf(at, atWords) || s.isOneOf(at, aboutWords)) {
			at--
		}
		here := span{at, v.to}
		switch {
		case s.isOneOf(at, feels) && (at+1 < v.from || !s.valueEndsAt(at)):
			if s.isOneOf(at-1, tooWords) {
				here.from--
			}
		case s.isOneOf(v.to, feels) && !s.isOneOf(v.to+1, atWords):
			here = span{v.from, v.to + 1}
		case s.isOneOf(v.to, tooWords) && s.isOneOf(v.to+1, feels) && !s.isOneOf(v.to+2, atWords):
			here = span{v.from, v.to + 2}
		default:
			continue
		}
		if found.to > 0 {
			return feltSpan{}
		}
		found = feltSpan{here, v}
	}
	return found
}
