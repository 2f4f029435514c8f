package read

import (
	"strings"

	"spokeword/calc/quantity"
	"spokeword/commands/spec"
)

// This file holds the words that belong to no command: ends, words that say
// nothing, words that part alternatives, number words. English first; of other
// languages the words that people of the trade mix in.
//
// False friends, which are words in one language and something else in
// another, are decided here once:
//   - "in" is English "in" and the inch: an inch only behind a number (numbers.go, unit);
//   - "on" is English, and announces a rim; "con" is Spanish and Italian "with";
//   - "bar" is the unit, never a place; "st" is the stone, glued to a number;
//   - "a" is an article in four languages; "o" is "or" in Spanish and Italian,
//     "ou" in French; "l" is left only as a letter by itself before numbers.

// endWords name the two ends of each axis.
var endWords = []struct {
	axis  spec.Axis
	which spec.Which
	words spec.Words
}{
	{spec.FrontRear, spec.FirstOnly, spec.W("front", "fr", "frnt", "f", "fronts", spec.De("vorne", "vorn", "vorderrad"), spec.Fr("avant", "devant"), spec.Es("delante", "delantera", "delantero"), spec.It("davanti", "anteriore"))},
	{spec.FrontRear, spec.SecondOnly, spec.W("rear", "back", "rr", "r", "rears", spec.De("hinten", "hinterrad"), spec.Fr("arrière", "arriere", "derrière"), spec.Es("detrás", "detras", "trasera", "trasero"), spec.It("dietro", "posteriore"))},
	{spec.FrontRear, spec.Both, spec.W("both", "both ends", "f and r", "front and rear", "front and back", "front rear", "front back", "front n rear", "front n back", "f r", "f n r", "f+r", spec.De("beide", "vorne und hinten", "vorn und hinten", "vorne hinten", "vorn hinten", "vorne wie hinten"), spec.Fr("les deux", "devant derrière", "devant et derrière", "avant arrière", "avant et arrière", "devant derriere", "avant arriere"), spec.Es("ambos", "ambas", "delante y detrás", "delante y detras", "delante detrás", "delantera y trasera"), spec.It("entrambi", "entrambe", "davanti e dietro", "davanti dietro", "anteriore e posteriore"))},
	{spec.LeftRight, spec.FirstOnly, spec.W("left", "lh", "l", "nds", "non drive", "non drive side", "non-drive side", "non-drive", "left side", spec.De("links"), spec.Fr("gauche"), spec.Es("izquierda", "izquierdo"), spec.It("sinistra", "sinistro"))},
	{spec.LeftRight, spec.SecondOnly, spec.W("right", "rh", "r", "ds", "drive side", "drive", "cassette side", "right side", spec.De("rechts"), spec.Fr("droite"), spec.Es("derecha", "derecho"), spec.It("destra", "destro"))},
	{spec.HubRim, spec.FirstOnly, spec.W("hub", "hubs", spec.De("nabe"), spec.Fr("moyeu"), spec.Es("buje"), spec.It("mozzo"))},
	{spec.HubRim, spec.SecondOnly, spec.W("rim", "rims", spec.De("felge"), spec.Fr("jante"), spec.Es("llanta"), spec.It("cerchio"))},
}

// commonWords are the words with one of the small roles.
var commonWords = map[role]spec.Words{
	fills: spec.W(
		"a", "an", "the", "my", "our", "your", "his", "her", "their", "its", "this", "that", "these", "those", "some", "any",
		"i", "im", "ive", "id", "me", "we", "you", "he", "she", "it", "they", "them", "u", "ya", "em", "us",
		"is", "are", "am", "was", "be", "been", "being", "do", "does", "did", "done", "have", "has", "had", "got", "get", "gets", "getting", "gettin", "gonna",
		"can", "could", "should", "would", "will", "shall", "may", "might", "must", "need", "needs", "want", "wants", "wanna", "like", "let", "lets", "go", "going", "goes",
		"what", "whats", "wat", "wots", "wot", "which", "who", "whos", "how", "when", "where", "whether", "if", "then", "than", "so", "as", "because",
		"and", "n", "but", "with", "w", "without", "for", "of", "to", "at", "on", "in", "into", "from", "by", "about", "off", "out", "over", "under", "up", "per", "via", "between", "btwn",
		"please", "pls", "plz", "thanks", "thx", "ta", "cheers", "hi", "hello", "hey", "morning", "evening", "mate", "guys", "folks", "all", "there", "here", "hiya", "good", "day",
		"ok", "okay", "okey", "right now", "now", "today", "tomorrow", "tmrw", "tonight", "later", "soon", "again please", "just", "only", "really", "very", "too", "also", "even", "still", "maybe", "about right", "roughly", "around", "approx", "approximately", "say", "says", "tell", "know", "wonder", "wondering", "think", "help", "question", "quick", "quickly", "lol", "wtf", "btw", "fyi", "hmm", "um", "er", "yes", "no", "not", "sure", "well",
		"one", "ones", "thing", "things", "stuff", "something", "sumthing", "use", "using", "used", "run", "running", "runs", "ride", "rides", "riding", "rider", "riders", "bike", "bikes", "wheel", "wheels", "set", "setup", "set-up", "start", "begin", "kit", "fit", "best", "right", "correct", "proper", "good", "great", "better", "fine", "true", "actually", "exactly", "myself", "own", "new", "ready", "work", "works", "working", "making", "make", "makes", "made", "put", "give", "gimme", "show", "compute", "calculate", "calc", "work out", "it is", "looking", "look", "looks", "been told", "told", "bought", "buying", "buy", "having", "he has", "wide", "width", "each", "every", "everyone", "someone", "customer", "cust", "club", "shop", "counter", "waiting", "race", "sunday", "saturday", "friday", "monday", "tuesday", "wednesday", "thursday", "weekend", "time", "first", "ever", "much", "many", "long", "big", "small", "same thing", "mean", "means", "called", "marked", "written", "sidewall", "would be", "my mate", "hello there", "trail crew", "trail day", "trail days", "trail work", "trail building", "dig day", "good morning", "good evening", "could you", "can you", "would you", "thank you", "if you can", "when you have a minute", "x", "measures", "measure", "measured at", "full suspension", "full sus", "vtt", "mtb", "mountain bike", "mountainbike", "possible", "squeeze", "together", "loaded",
		spec.De("rein", "soll rein", "muss", "mehr", "weniger", "wiegt", "wird", "werden", "über", "unter", "kein", "keine", "hier", "dann", "mal", "so", "ja", "nein", "gerade", "neu", "neue", "neuen", "alt", "alte", "der", "die", "das", "den", "dem", "ein", "eine", "einen", "einem", "mein", "meine", "meinen", "meinem", "ich", "wir", "du", "er", "sie", "es", "ist", "sind", "bin", "war", "hat", "habe", "und", "aber", "mit", "ohne", "für", "von", "zu", "zum", "zur", "auf", "bei", "aus", "nach", "im", "am", "wie", "viel", "viele", "wieviel", "was", "welche", "welcher", "welches", "welchen", "wer", "wo", "bitte", "danke", "hallo", "moin", "servus", "guten", "morgen", "tag", "nicht", "nur", "auch", "noch", "schon", "geht", "gut", "passt", "soll", "kann", "brauche", "brauch", "rad", "fahre", "fahren", "fahrer", "breit", "gewicht", "heute"),
		spec.Fr("fais", "j'ai", "roule", "ce", "cet", "cette", "c'est", "cest", "qu'un", "qu'une", "est-ce", "d'un", "d'une", "j'ai", "jai", "puis-je", "peut", "on", "faut", "mettre", "gonfler", "monter", "moi", "tous", "terrain", "besoin", "avoir", "quoi", "le", "la", "les", "un", "une", "des", "du", "de", "mon", "ma", "mes", "je", "tu", "il", "elle", "nous", "vous", "est", "sont", "suis", "et", "mais", "avec", "sans", "pour", "sur", "dans", "par", "au", "aux", "en", "quel", "quelle", "quels", "quelles", "combien", "comment", "bonjour", "salut", "merci", "svp", "pas", "vélo", "velo", "roue", "ça", "ca", "va"),
		spec.Es("vale", "ruedas", "llevo", "tengo", "puedo", "poner", "necesito", "debo", "mejor", "va", "bien", "este", "esta", "el", "los", "las", "una", "unos", "del", "mi", "mis", "yo", "es", "son", "soy", "y", "pero", "con", "sin", "para", "por", "sobre", "que", "qué", "cuál", "cual", "cuánta", "cuanta", "cuánto", "cuanto", "cómo", "como", "hola", "gracias", "favor", "bici", "rueda", "si", "no"),
		spec.It("da", "di", "gonfio", "gonfiare", "va", "bene", "posso", "devo", "mettere", "serve", "ho", "ruote", "questo", "questa", "lo", "gli", "uno", "una", "della", "delle", "dei", "mio", "mia", "miei", "io", "è", "sono", "e", "ma", "senza", "per", "su", "sul", "sulla", "che", "quale", "quanta", "quanto", "quanti", "come", "ciao", "grazie", "favore", "bici", "ruota"),
	),
	joins: spec.W("or", "vs", "versus", "against", "v", "compared to", "compared with", "rather than", spec.De("oder", "gegen"), spec.Fr("ou", "contre"), spec.Es("o", "u", "contra"), spec.It("oppure")),
	counts: spec.W("kids", "children", "people", "ppl", "times", "km", "miles", "mi", "hours", "hrs", "h ride", "minutes", "min", "days", "weeks", "months", "years", "yrs", "year old", "yo", "bikes", "pumps", "laps", "turns", "snakebites", "punctures", "flats", "euro", "euros", "quid", "pounds budget", "wheelsets", "patches", "speed", "speeds", "spd", "rpm",
		spec.De("kinder", "stunden", "jahre", "leute"), spec.Fr("heures", "ans", "enfants"), spec.Es("horas", "años"), spec.It("ore", "anni")),
	shadows: spec.W("lost", "has lost", "dropped by", "lost about", "loses", "gauge starts at", "gauge begins at", "starts at", "begins at", "starts from", "after", "gauge only reads", "gauge from", "aged", "age", "number", "no.", "flange to flange", "meter says", "meter reads", "meter shows", "between the flanges", "between flanges", "flange spacing", "flange to flange distance"),
	repeats: spec.W("same", "same but", "same as", "again", "same wheel", "same bike", "same again", "as before", "like before", "last ride", "last time", "what about", "how about", "and with", "and if", "instead",
		spec.De("wie vorher", "gleiche", "gleich", "dasselbe", "nochmal"), spec.Fr("pareil", "même", "meme"), spec.Es("igual", "lo mismo"), spec.It("uguale", "stesso", "lo stesso")),
}

// plainWords are common words that say nothing here but are a slip away from
// words that do: they are left as they are, and reported as not used.
var plainWords = []string{
	"feels", "feel", "felt", "blue", "black", "green", "trial", "trials", "tried", "tired", "tires me", "trials", "wheel's", "steps", "stop", "stops", "stem", "fork", "forks", "frame", "brand", "brands", "make", "makes",
	"loads", "reads", "rides", "tools", "holds", "whole", "wholes", "hold", "home", "road's", "roads", "rod", "rods", "snapped", "broken", "broke", "crack", "cracked", "harsh", "hush", "squirm", "burp", "burped", "rattle", "noise",
	"price", "cheap", "money", "cost", "costs", "light", "lights", "lamp", "bell", "chain", "pedal", "pedals", "saddle", "seat", "brakes", "braking", "brake's", "cable", "rust", "rusty", "tough", "though", "through", "thought",
	"wheelie", "wheeled", "spare", "spares", "share", "store", "stored", "stock", "order", "orders", "other", "others", "another", "mother", "father", "brother", "sister", "friend", "friends", "weird", "wired", "wire",
	"cross's", "class", "glass", "grass", "press", "dress", "first", "fast", "faster", "slow", "slower", "last", "lost", "best", "rest", "test", "west", "east", "north", "south", "most", "must", "just", "trust",
	"park's", "part", "parts", "pack", "packed", "back's", "bank", "tank", "tape", "taped", "type", "types", "tap", "trap", "wrap", "drop", "drops", "crop", "shop's", "ship", "shape", "sharp", "short", "shorts", "shirt",
	"sane", "sand's", "band", "hand", "hands", "land", "end", "ends", "send", "bend", "tend", "fund", "round", "ground", "found", "sound", "pound", "hound", "wound",
	"far", "car", "cars", "war", "ear", "jar", "tar", "par", "leg", "legs", "keg", "lab", "lap", "pie", "pig", "kilt", "store", "stove", "itch", "pinch", "lbm", "main", "rain", "train", "drain", "brain", "gain", "pain", "plain", "plan", "plane", "pane", "lane", "line", "lines", "fine", "mine", "nine", "wine", "vine",
}

// numberWords are spoken numbers, as phones write them down.
var numberWords = map[string]float64{
	"nought": 0, "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
	"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100,
}

// numberTokens puts spoken numbers together: "twenty nine by two point four"
// becomes 29 by 2.4. "One" counts only within a longer number or before
// "point" or a unit, since it is mostly a pronoun.
func numberTokens(tokens []token) []token {
	any := false
	for _, t := range tokens {
		if t.kind == word {
			if _, ok := numberWords[t.text]; ok || t.text == "minus" {
				any = true
			}
		}
	}
	if !any {
		return tokens
	}
	out := make([]token, 0, len(tokens))
	for i := 0; i < len(tokens); {
		if minus(tokens, i) {
			n := tokens[i+1]
			n.num, n.text, n.raw, n.glued = -n.num, "-"+n.text, tokens[i].raw+" "+n.raw, tokens[i].glued
			out = append(out, n)
			i += 2
			continue
		}
		v, to, ok := spoken(tokens, i)
		if !ok {
			out = append(out, tokens[i])
			i++
			continue
		}
		text := quantity.Exact(v)
		raw := make([]string, 0, to-i)
		for _, t := range tokens[i:to] {
			raw = append(raw, t.raw)
		}
		out = append(out, token{kind: number, text: text, num: v, raw: strings.Join(raw, " ")})
		i = to
	}
	return out
}

// minus reports whether "minus" and a positive number stand at token i.
func minus(tokens []token, i int) bool {
	return tokens[i].kind == word && tokens[i].text == "minus" && i+1 < len(tokens) && tokens[i+1].kind == number && tokens[i+1].num > 0
}

// spoken reads a spoken number at token i.
func spoken(tokens []token, i int) (v float64, to int, ok bool) {
	whole, to, ok := spokenWhole(tokens, i)
	if !ok {
		return 0, i, false
	}
	v = whole
	if to < len(tokens) && tokens[to].text == "point" {
		place, digits := 0.1, to+1
		for digits < len(tokens) {
			d, isDigit := numberWords[tokens[digits].text]
			if !isDigit || d > 9 {
				break
			}
			v += d * place
			place /= 10
			digits++
		}
		if digits > to+1 {
			n, err := quantity.Number(quantity.Trimmed(v, 4))
			return n, digits, err == nil
		}
	}
	if to == i+1 && tokens[i].text == "one" {
		if to >= len(tokens) {
			return 0, i, false
		}
		if _, unit := quantity.UnitNamed(tokens[to].text); !unit || tokens[to].text == "in" {
			return 0, i, false
		}
	}
	return v, to, true
}

func spokenWhole(tokens []token, i int) (float64, int, bool) {
	total, to := 0.0, i
	last := 1000.0
	for to < len(tokens) && tokens[to].kind == word {
		n, ok := numberWords[tokens[to].text]
		if !ok && last == 100 && tokens[to].text == "and" && to+1 < len(tokens) { // a hundred and ten
			if n, ok = numberWords[tokens[to+1].text]; ok && n < 100 {
				to++
			}
		}
		if !ok {
			break
		}
		switch {
		case n == 100 && total >= 1 && total < 10:
			total *= 100
			last = 100
		case to == i:
			total, last = n, n
		case to == i+1 && total >= 1 && total < 10 && n >= 20 && n < 100: // two twenty, one eighty five
			total, last = total*100+n, n
		case last >= 20 && last < 100 && n < 10 && n > 0, last == 100 && n < 100:
			total += n
			last = n
		default:
			return total, to, true
		}
		to++
	}
	return total, to, to > i
}
