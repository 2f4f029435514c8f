package read

import (
	"slices"
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
	{spec.FrontRear, spec.FirstOnly, spec.W("front", "fr", "frnt", "f", "fronts", spec.De("vorne", "vorn", "vorderrad"), spec.Fr("av", "avt", "avant", "devant", "l'avant", "à l'avant"), spec.Es("delante", "delantera", "delantero", "adelante"), spec.It("davanti", "anteriore"))},
	{spec.FrontRear, spec.SecondOnly, spec.W("rear", "back", "rr", "r", "rears", spec.De("hinten", "hinterrad"), spec.Fr("ar", "arr", "arrière", "arriere", "derrière", "l'arrière", "à l'arrière", "l'arriere"), spec.Es("detrás", "detras", "trasera", "trasero", "atrás", "atras"), spec.It("dietro", "posteriore"))},
	{spec.FrontRear, spec.Both, spec.W("both", "both ends", "f and r", "front and rear", "front and back", "front rear", "front back", "front n rear", "front n back", "f r", "f n r", "f+r", spec.De("beide", "vorne und hinten", "vorn und hinten", "vorne hinten", "vorn hinten", "vorne wie hinten"), spec.Fr("les deux", "devant derrière", "devant et derrière", "avant arrière", "avant et arrière", "devant derriere", "avant arriere"), spec.Es("ambos", "ambas", "delante y detrás", "delante y detras", "delante detrás", "delantera y trasera"), spec.It("entrambi", "entrambe", "davanti e dietro", "davanti dietro", "anteriore e posteriore"))},
	{spec.LeftRight, spec.FirstOnly, spec.W("left", "lh", "l", "nds", "non drive", "non drive side", "non-drive side", "non-drive", "left side", "disc side", "disk side", "rotor side", "brake side", spec.De("links"), spec.Fr("gauche"), spec.Es("izquierda", "izquierdo"), spec.It("sinistra", "sinistro"))},
	{spec.LeftRight, spec.Both, spec.W("both", "both sides", "both flanges", "each side", spec.De("beide", "beidseitig"), spec.Fr("les deux", "des deux côtés"), spec.Es("ambos lados"), spec.It("entrambi i lati"))},
	{spec.LeftRight, spec.SecondOnly, spec.W("right", "rh", "r", "ds", "drive side", "drive", "cassette side", "right side", "chain side", "gear side", "cassette", spec.De("rechts"), spec.Fr("droite"), spec.Es("derecha", "derecho"), spec.It("destra", "destro"))},
	{spec.HubRim, spec.FirstOnly, spec.W("hub", "hubs", spec.De("nabe"), spec.Fr("moyeu"), spec.Es("buje"), spec.It("mozzo"))},
	{spec.HubRim, spec.SecondOnly, spec.W("rim", "rims", spec.De("felge"), spec.Fr("jante"), spec.Es("llanta"), spec.It("cerchio"))},
}

// commonWords are the words with one of the small roles.
var commonWords = map[role]spec.Words{
	fills: spec.W(
		"heavy guy", "heavy rider", "heavy lad", "big guy", "big lad", "big rider", "light guy", "light rider", "light lad", "loaded tourer", "over # spokes", "over about # spokes", "across # spokes", "# old spokes", "with # old spokes", "too far", "between # spokes", "between # of the spokes", "a", "an", "the", "my", "our", "your", "his", "her", "their", "its", "this", "that", "these", "those", "some", "any",
		"i", "im", "ive", "id", "me", "we", "you", "he", "she", "it", "they", "them", "u", "ya", "em", "us",
		"is", "are", "am", "were", "was", "be", "been", "being", "do", "does", "did", "done", "have", "has", "had", "got", "get", "gets", "getting", "gettin", "gonna",
		"can", "could", "should", "would", "will", "shall", "may", "might", "must", "need", "needs", "want", "wants", "wanna", "like", "let", "lets", "go", "going", "goes",
		"what", "whats", "wat", "wots", "wot", "which", "who", "whos", "how", "when", "where", "whether", "if", "then", "than", "so", "as", "because",
		"and", "n", "but", "with", "w", "without", "for", "of", "to", "at", "on", "in", "into", "from", "by", "about", "off", "out", "over", "under", "up", "per", "via", "between", "btwn",
		"please", "pls", "plz", "thanks", "thx", "ta", "cheers", "hi", "hello", "hey", "morning", "evening", "mate", "guys", "folks", "all", "there", "here", "hiya", "good", "day",
		"ok", "okay", "okey", "right now", "now", "today", "tomorrow", "tmrw", "tonight", "later", "soon", "again please", "just", "only", "really", "very", "too", "also", "even", "still", "maybe", "about right", "roughly", "around", "approx", "approximately", "say", "says", "tell", "know", "wonder", "wondering", "think", "help", "question", "quick", "quickly", "enough", "alright", "lol", "wtf", "btw", "fyi", "hmm", "um", "er", "yes", "no", "not", "sure", "well",
		"one", "ones", "thing", "things", "stuff", "something", "sumthing", "use", "using", "used", "run", "running", "runs", "ride", "rides", "riding", "rider", "riders", "bike", "bikes", "wheel", "wheels", "set", "setup", "set-up", "start", "begin", "kit", "fit", "best", "right", "correct", "proper", "good", "great", "better", "fine", "true", "actually", "exactly", "myself", "own", "new", "ready", "work", "works", "working", "making", "make", "makes", "made", "put", "add", "adds", "adding", "give", "gimme", "show", "compute", "calculate", "calc", "work out", "it is", "looking", "look", "looks", "been told", "told", "bought", "buying", "buy", "having", "he has", "wide", "width", "each", "every", "everyone", "someone", "customer", "cust", "club", "shop", "counter", "waiting", "race", "sunday", "saturday", "friday", "monday", "tuesday", "wednesday", "thursday", "weekend", "time", "first", "ever", "much", "many", "long", "big", "small", "same thing", "mean", "means", "called", "marked", "written", "sidewall", "would be", "my mate", "hello there", "trail crew", "trail day", "trail days", "trail work", "trail building", "dig day", "good morning", "good evening", "could you", "can you", "would you", "thank you", "at valve", "at the valve", "toward", "towards", "toward the", "towards the", "tell me", "give me", "show me", "let me know", "if you can", "when you have a minute", "keeps", "keep", "keeping", "always", "sometimes", "often", "lately", "while", "during", "for the lot", "for all of them", "stays", "remains", "stays the same", "berm", "berms", "corner", "corners", "keeps on", "car park", "carpark", "car-park", "parking lot", "b4", "m8", "gr8", "l8r", "2day", "2nite", "x", "measures", "measure", "measured at", "full suspension", "full sus", "vtt", "mtb", "mountain bike", "mountainbike", "possible", "squeeze", "together", "loaded",
		spec.De("bleibt", "bleiben", "rein", "soll rein", "muss", "mehr", "weniger", "wiegt", "wird", "werden", "über", "unter", "kein", "keine", "hier", "dann", "mal", "so", "ja", "nein", "gerade", "neu", "neue", "neuen", "alt", "alte", "der", "die", "das", "den", "dem", "ein", "eine", "einen", "einem", "mein", "meine", "meinen", "meinem", "ich", "wir", "du", "er", "sie", "es", "ist", "sind", "bin", "war", "hat", "habe", "und", "aber", "mit", "ohne", "für", "von", "zu", "zum", "zur", "auf", "bei", "aus", "nach", "im", "am", "wie", "viel", "viele", "wieviel", "was", "welche", "welcher", "welches", "welchen", "wer", "wo", "bitte", "danke", "hallo", "moin", "servus", "guten", "morgen", "tag", "nicht", "nur", "auch", "noch", "schon", "geht", "gut", "passt", "soll", "kann", "brauche", "brauch", "rad", "fahre", "fahren", "breit", "gewicht", "heute"),
		spec.Fr("reste", "fais", "j'ai", "roule", "ce", "cet", "cette", "c'est", "cest", "qu'un", "qu'une", "est-ce", "d'un", "d'une", "j'ai", "jai", "puis-je", "peut", "on", "faut", "mettre", "gonfler", "monter", "moi", "tous", "terrain", "besoin", "avoir", "quoi", "le", "la", "les", "un", "une", "des", "du", "de", "mon", "ma", "mes", "je", "tu", "il", "elle", "nous", "vous", "est", "sont", "suis", "et", "mais", "avec", "sans", "pour", "sur", "dans", "par", "au", "aux", "en", "quel", "quelle", "quels", "quelles", "combien", "comment", "bonjour", "salut", "merci", "svp", "pas", "vélo", "velo", "roue", "ça", "ca", "va"),
		spec.Es("queda", "vale", "ruedas", "llevo", "tengo", "puedo", "poner", "necesito", "debo", "mejor", "va", "bien", "este", "esta", "el", "los", "las", "una", "unos", "del", "mi", "mis", "yo", "es", "son", "soy", "y", "pero", "con", "sin", "para", "por", "sobre", "que", "qué", "cuál", "cual", "cuánta", "cuanta", "cuánto", "cuanto", "cómo", "como", "hola", "gracias", "favor", "bici", "rueda", "si", "no"),
		spec.It("resta", "da", "di", "gonfio", "gonfiare", "va", "bene", "posso", "devo", "mettere", "serve", "ho", "ruote", "questo", "questa", "lo", "gli", "uno", "una", "della", "delle", "dei", "mio", "mia", "miei", "io", "è", "sono", "e", "ma", "senza", "per", "su", "sul", "sulla", "che", "quale", "quanta", "quanto", "quanti", "come", "ciao", "grazie", "favore", "bici", "ruota"),
	),
	joins: spec.W("or", "vs", "versus", "against", "v", "compared to", "compared with", "rather than", spec.De("oder", "gegen"), spec.Fr("ou", "contre"), spec.Es("o", "u", "contra"), spec.It("oppure")),
	counts: spec.W("kids", "children", "riders", "members", "kids on", "lads", "lasses", "people", "ppl", "times", "km", "miles", "mi", "hours", "hrs", "h ride", "minutes", "min", "days", "weeks", "months", "years", "yrs", "year old", "yo", "bikes", "pumps", "laps", "turns", "snakebites", "punctures", "flats", "euro", "euros", "quid", "pounds budget", "wheelsets", "patches", "mths", "month", "week", "hour", "speed", "speeds", "spd", "rpm",
		spec.De("kinder", "stunden", "jahre", "leute", "monate", "monat", "monaten", "wochen", "tage", "mal"), spec.Fr("heures", "ans", "enfants", "mois", "semaines", "jours", "fois"), spec.Es("horas", "años", "meses", "semanas", "días", "veces"), spec.It("ore", "anni", "mesi", "settimane", "giorni", "volte")),
	shadows: spec.W("lost", "has lost", "dropped by", "lost about", "loses", "gauge starts at", "gauge begins at", "starts at", "begins at", "starts from", "after", "gauge only reads", "gauge from", "aged", "age", "number", "no.", "flange to flange", "meter says", "meter reads", "meter shows", "between the flanges", "between flanges", "flange spacing", "flange to flange distance"),
	repeats: spec.W("same", "same but", "same as", "again", "same wheel", "same bike", "same again", "as before", "like before", "last ride", "last time", "what about", "how about", "and with", "and if", "instead",
		spec.De("wie vorher", "gleiche", "das gleiche", "gleich", "dasselbe", "nochmal", "und bei", "und mit"), spec.Fr("pareil", "même", "meme", "la même chose", "et avec", "et pour"), spec.Es("igual", "lo mismo"), spec.It("uguale", "stesso", "lo stesso")),
}

// plainWords are common words that say nothing here but are a slip away from
// words that do: they are left as they are, and reported as not used.
var plainWords = []string{
	"feels", "feel", "felt", "skip", "blue", "black", "green", "trial", "trials", "tried", "tired", "tires me", "trials", "wheel's", "steps", "stop", "stops", "stem", "fork", "forks", "frame", "brand", "brands", "make", "makes",
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

// foreignNumbers are the spoken numbers of other languages than English. "Neuf"
// is new as well, "sei" is "you are", "due" and "once" are English: they are left
// out, or count only within a longer word.
var foreignNumbers = func() map[string]float64 {
	all := map[string]float64{}
	row := func(from, step int, words string) {
		for i, w := range strings.Fields(words) {
			all[w] = float64(from + i*step)
		}
	}
	row(2, 1, "zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn vierzehn fünfzehn sechzehn siebzehn achtzehn neunzehn")
	row(20, 10, "zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig")
	row(2, 1, "deux trois quatre cinq six sept huit")
	row(10, 1, "dix onze douze treize quatorze quinze seize")
	row(20, 10, "vingt trente quarante cinquante soixante")
	row(2, 1, "dos tres cuatro cinco seis siete ocho nueve diez")
	row(20, 10, "veinte treinta cuarenta cincuenta sesenta setenta ochenta noventa")
	row(21, 1, "veintiuno veintidós veintitrés veinticuatro veinticinco veintiséis veintisiete veintiocho veintinueve")
	row(3, 1, "tre quattro cinque")
	row(7, 1, "sette otto nove dieci undici dodici tredici quattordici quindici sedici diciassette diciotto diciannove")
	row(20, 10, "venti trenta quaranta cinquanta sessanta settanta ottanta novanta")
	for i, ten := range strings.Fields("zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig") {
		for k, one := range strings.Fields("ein zwei drei vier fünf sechs sieben acht neun") {
			all[one+"und"+ten] = float64(21 + 10*i + k)
		}
	}
	for i, ten := range strings.Fields("venti trenta quaranta cinquanta sessanta settanta ottanta novanta") {
		for k, one := range strings.Fields("uno due tre quattro cinque sei sette otto nove") {
			stem := ten
			if k == 0 || k == 7 {
				stem = ten[:len(ten)-1] // ventuno, ventotto
			}
			all[stem+one] = float64(21 + 10*i + k)
		}
	}
	return all
}()

// from reports whether token i is the word that says where something begins.
func (s *scan) from(i int) bool {
	return s.isWord(i, "from") || s.isWord(i, "von") || s.isWord(i, "de") || s.isWord(i, "da") || s.isWord(i, "dal") || s.isWord(i, "dalla") || s.isWord(i, "vom") || s.isWord(i, "desde") || s.isWord(i, "du")
}

// until reports whether token i is the word that says where it ends.
func (s *scan) until(i int) bool {
	return s.isWord(i, "to") || s.isWord(i, "auf") || s.isWord(i, "zu") || s.isWord(i, "à") || s.isWord(i, "a") || s.isWord(i, "al") || s.isWord(i, "alla")
}

// spokenNumber returns the number that a word says.
func spokenNumber(w string) (float64, bool) {
	n, ok := numberWords[w]
	if !ok {
		n, ok = foreignNumbers[w]
	}
	return n, ok
}

// numberTokens puts spoken numbers together: "twenty nine by two point four"
// becomes 29 by 2.4. "One" counts only within a longer number or before
// "point" or a unit, since it is mostly a pronoun.
func numberTokens(tokens []token) []token {
	any := false
	for _, t := range tokens {
		if t.kind == word {
			if _, ok := spokenNumber(t.text); ok || minuses[t.text] || noughts[t.text] {
				any = true
			}
		}
	}
	if !any {
		return tokens
	}
	out := make([]token, 0, len(tokens))
	for i := 0; i < len(tokens); {
		if bothOf(tokens, i) { // "las dos", "les deux": both, and no number
			out = append(out, tokens[i], tokens[i+1])
			i += 2
			continue
		}
		if n := belowNought(tokens, i); n > 0 {
			out = append(out, negative(token{raw: "-", glued: tokens[i].glued}, tokens[i]))
			i += n
			continue
		}
		if minus(tokens, i) {
			out = append(out, negative(tokens[i], tokens[i+1]))
			i += 2
			continue
		}
		v, to, ok := spoken(tokens, i)
		if !ok {
			out = append(out, tokens[i])
			i++
			continue
		}
		n := token{kind: number, text: quantity.Exact(v), num: v, raw: rawOf(tokens[i:to])}
		if last := len(out) - 1; last >= 0 && v > 0 && out[last].kind == word && minuses[out[last].text] {
			out[last] = negative(out[last], n) // "minus five"
		} else {
			out = append(out, n)
		}
		i = to
	}
	return out
}

// negative is a number behind the word for minus.
func negative(minus, n token) token {
	n.num, n.text, n.raw, n.glued = -n.num, "-"+n.text, minus.raw+" "+n.raw, minus.glued
	return n
}

// minus reports whether "minus" and a positive number stand at token i.
func minus(tokens []token, i int) bool {
	return tokens[i].kind == word && minuses[tokens[i].text] && i+1 < len(tokens) && tokens[i+1].kind == number && tokens[i+1].num > 0
}

// pronouns stand before the word for two where it means both.
var pronouns = []string{"las", "los", "les", "tutte", "tutti", "ambas"}

// bothOf reports whether both ends are named at token i by a word for two: "las
// dos", "tutte e due". Phrases with it are learnt just so.
func bothOf(tokens []token, i int) bool {
	if i+1 >= len(tokens) || tokens[i].kind != word || tokens[i+1].kind != word || !slices.Contains(pronouns, tokens[i].text) {
		return false
	}
	n, ok := spokenNumber(tokens[i+1].text)
	return ok && n == 2
}

// noughts are the words for nought and for freezing behind a number below it.
var noughts = map[string]bool{"zero": true, "null": true, "cero": true, "zéro": true, "freezing": true, "nought": true}

// belows are the words before them.
var belows = map[string]bool{"below": true, "under": true, "unter": true, "bajo": true, "sotto": true, "sous": true}

// belowNought returns how many tokens a number and the words behind it take that put
// it below nought, 0 if they don't: "5 bajo cero".
func belowNought(tokens []token, i int) int {
	if tokens[i].kind != number || tokens[i].num <= 0 {
		return 0
	}
	j := i + 1
	if j < len(tokens) && tokens[j].kind == word {
		if u, ok := quantity.UnitNamed(tokens[j].text); ok && (u.Kind() == quantity.KindTemperature || u == quantity.DegreeUnit) {
			j++
		}
	}
	if j+1 < len(tokens) && belows[tokens[j].text] && noughts[tokens[j+1].text] {
		return j + 2 - i
	}
	return 0
}

// minuses are the words that stand before a number below nought.
var minuses = map[string]bool{"minus": true, "moins": true, "menos": true, "meno": true}

// spoken reads a spoken number at token i.
func spoken(tokens []token, i int) (v float64, to int, ok bool) {
	whole, to, ok := spokenWhole(tokens, i)
	if !ok {
		return 0, i, false
	}
	v = whole
	if part, end, ok := spokenPart(tokens, to); ok {
		return v + part, end, true
	}
	if to < len(tokens) && points[tokens[to].text] {
		place, digits := 0.1, to+1
		for digits < len(tokens) {
			d, isDigit := spokenNumber(tokens[digits].text)
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

// points are the words for the decimal mark.
var points = map[string]bool{"point": true, "komma": true, "virgule": true, "coma": true, "virgola": true, "comma": true}

// spokenPart reads what follows a whole number in words: "and a half".
func spokenPart(tokens []token, i int) (float64, int, bool) {
	said := func(k int, texts ...string) bool {
		return k < len(tokens) && tokens[k].kind == word && slices.Contains(texts, tokens[k].text)
	}
	if !said(i, "and") {
		return 0, i, false
	}
	j := i + 1
	if said(j, "a", "one") {
		j++
	}
	switch {
	case said(j, "half"):
		return 0.5, j + 1, true
	case said(j, "quarter"):
		return 0.25, j + 1, true
	case said(j, "three") && said(j+1, "quarters"):
		return 0.75, j + 2, true
	}
	return 0, i, false
}

func spokenWhole(tokens []token, i int) (float64, int, bool) {
	total, to := 0.0, i
	last := 1000.0
	for to < len(tokens) && tokens[to].kind == word {
		n, ok := spokenNumber(tokens[to].text)
		if !ok && last == 100 && tokens[to].text == "and" && to+1 < len(tokens) { // a hundred and ten
			if n, ok = spokenNumber(tokens[to+1].text); ok && n < 100 {
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
