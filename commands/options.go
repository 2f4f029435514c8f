package commands

import (
	"spokeword/calc/quantity"
	"spokeword/calc/size"
	"spokeword/commands/read"
	"spokeword/commands/spec"
)

// This file declares every option once. A command says which it takes; names,
// cues, ranges and the way a bare number is read are here and nowhere else.
// The ranges only keep out what can't be meant; the models have their own.

// Short names for the declarations below.
var w, de, fr, es, it = spec.W, spec.De, spec.Fr, spec.Es, spec.It

type (
	measure  = quantity.Measure
	measures = spec.Ends[quantity.Measure]
	counts   = []spec.Ends[int]
	tyres    = spec.Ends[size.Mark]
	rims     = spec.Ends[size.RimMark]
	words    = []string
	eachWord = spec.Ends[string]
)

const (
	mm  = float64(quantity.Millimetre)
	kg  = float64(quantity.Kilogram)
	ml  = float64(quantity.Millilitre)
	bar = quantity.Bar
	deg = float64(quantity.Degree)
)

// The rider, the bike and what they carry.
var (
	rider = &spec.Arg[measure]{
		Info: spec.Info{Name: "rider", Help: "weight of the rider, ready to ride", Example: "80 kg", Personal: true,
			Words: w("rider", "rider weight", "weigh", "i weigh", "weight", "me", "im", "body weight", "bodyweight", "weighs", "me and kit", "me plus kit", "me in kit", "me and gear", "me with kit", "with gear", "with all gear", "with my gear", "with kit", "with kit on", "with all my kit", "with full kit", "with pack", "with my pack", "with a pack", "with backpack", "pack included", "including pack", "incl pack", "full kit", "in kit", "kit included", "including kit", "incl kit", "with gear on", "kitted", "geared", "ready to ride", "all in", "kitted up", "geared up", "in full kit", "all up weight", de("ich wiege", "wiege", "fahrergewicht", "gewicht", "fahrer", "fahrerin"), fr("je pèse", "poids", "pese", "cycliste", "pilote"), es("peso", "ciclista"), it("peso", "pesa", "ciclista"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.NoAxis, Least: 10 * kg, Most: 250 * kg, Said: true,
			Habits: []read.Habit{{Unit: quantity.KG, From: 35, To: 120, Alone: 1.2}, {Unit: quantity.LB, From: 121, To: 400, Alone: 1.2}, {Unit: quantity.KG, From: 12, To: 35}}}},
	}
	bike = &spec.Arg[measure]{
		Info: spec.Info{Name: "bike", Help: "weight of the bike", Example: "15 kg",
			Words: w("bike", "bike weighs", "bike weight", "bike is", "emtb", "e-mtb", "ebike", "e-bike", "e bike", de("rad wiegt", "rad", "fahrrad"), fr("vélo", "velo", "vae", "vélo électrique", "vtt électrique"), es("bici", "bici eléctrica", "bici electrica"), it("bici", "bici elettrica")),
			Hints: w("hardtail", "hard tail", "xc hardtail", "ht", "commuter", "trail bike", "enduro bike", "gravel bike", "road bike", "fully", "mtb")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.NoAxis, Least: 4 * kg, Most: 80 * kg, Cued: true, Lesser: true, Said: true,
			Habits: []read.Habit{{Unit: quantity.KG, From: 5, To: 29}, {Unit: quantity.LB, From: 30, To: 90}}}},
	}
	load = &spec.Arg[measures]{
		Info: spec.Info{Name: "load", Help: "what is carried, and at which end", Example: "12 kg rear",
			Words: w("load", "luggage", "bikepacking", "touring bags", "bags", "bag", "panniers", "pack", "backpack", "tools", "of tools", "cargo", "carrying", "gear", "kit", "child seat", "childseat", "kid seat", "stoker", "passenger", "pillion", "extra load", "more load", "extra weight", de("gepäck", "gepaeck", "rucksack"), fr("bagages", "sac"), es("equipaje", "carga", "mochila"), it("carico", "bagaglio", "zaino"))},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.FrontRear, Most: 250 * kg, Cued: true, Placed: true, Said: true, Plus: true,
			Habits: []read.Habit{{Unit: quantity.KG, From: 1, To: 150}, {Unit: quantity.LB, From: 1, To: 330}}}},
	}
	use = &spec.Arg[string]{
		Info: spec.Info{Name: "use", Help: "a bike or load with limits of its own", Example: "cargo"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "assisted", Words: w("assisted", "emtb", "e-mtb", "ebike", "e-bike", "e bike", "ebikes", "electric", "pedelec", de("e-rad", "elektrorad"), fr("vae", "électrique", "vélo électrique", "vtt électrique"), es("eléctrica", "electrica", "bici eléctrica", "bici electrica"), it("elettrica", "bici elettrica"))},
			{Value: "cargo", Words: w("cargo", "cargo bike", "cargobike", de("lastenrad"), fr("vélo cargo"), es("bici de carga"), it("bici da carico"))},
			{Value: "tandem", Words: w("tandem")},
			{Value: "childseat", Words: w("childseat", "child seat", "kid seat", "baby seat", de("kindersitz"), fr("siège enfant"), es("silla de niño"), it("seggiolino"))},
			{Value: "child", Words: w("child", "kid", "kids", "kids bike", "childs", "children", "junior", "my lad", "my boy", "little one", "my lass", "grandson", "granddaughter", "nipper", "toddler", "my kid", "youngster", "my son", "my daughter", "son", "daughter", de("kind", "kinder", "kinderrad", "tochter", "sohn", "junge", "mädchen"), fr("enfant", "ma fille", "mon fils", "fille", "fils", "gamin"), es("niño", "niña", "nino", "hijo", "hija", "crío"), it("bambino", "bambina", "figlio", "figlia"))},
		}}},
	}
	riding = &spec.Arg[words]{
		Info: spec.Info{Name: "riding", Help: "the kind of riding", Example: "trail"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "road", Words: w("road", "road bit", "tarmac", "roadie", "asphalt", de("straße", "strasse", "rennrad", "straßenrennrad", "rennradreifen"), fr("route"), es("carretera"), it("strada"))},
			{Value: "gravel", Words: w("gravel", "gravelbike", "fire roads", de("schotter"), fr("graviers"), es("gravilla"), it("ghiaia"))},
			{Value: "xc", Words: w("xc", "cross country", "cross-country", "crosscountry", "marathon", "xco", "xcm", "downcountry")},
			{Value: "trail", Words: w("trail", "trails", "trail riding", "trailbike", "all mountain", "am riding", "singletrack", de("touren"), fr("randonnée"), es("sendero"), it("sentiero"))},
			{Value: "enduro", Words: w("enduro", "enduro racing")},
			{Value: "downhill", Words: w("downhill", "dh", "down hill", de("abfahrt"), fr("descente"), es("descenso"), it("discesa"))},
			{Value: "park", Words: w("park", "bike park", "bikepark", "jumps", "jump park", "flow trails")},
			{Value: "commute", Words: w("commute", "commuting", "commuter", "to work", "city", "town", "touring", de("pendeln", "stadt", "arbeitsweg"), fr("ville", "trajet"), es("ciudad"), it("città", "citta"))},
			{Value: "snow", Words: w("snow riding", "fatbiking", "snow trails")},
		}}},
	}
	ground = &spec.Arg[words]{
		Info: spec.Info{Name: "ground", Help: "what the ground is like", Example: "wet rock"},
		As: read.SetOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "dry", Words: w("loose over hard", "loose over hardpack", "hard with loose on top", "dry", "dusty", "dust", "hardpack", "hard pack", de("trocken", "trockene", "trockenen"), fr("sec", "sèche"), es("seco", "seca"), it("asciutto", "asciutta", "secco"))},
			{Value: "wet", Words: w("wet", "damp", "slippery", "slippy", "rain", "rains", "raining", "rainy", "pouring", "pouring down", "drizzle", "greasy", de("nass", "naß", "regnet", "regnerisch", "nasse", "nasser", "nassen", "nässe", "naesse", "regen", "feucht"), fr("mouillé", "mouillée", "mouillés", "mouillées", "humide", "humides", "pluie"), es("mojado", "mojada", "mojados", "mojadas", "húmedo", "lluvia"), it("bagnato", "bagnata", "bagnati", "bagnate", "umido", "pioggia"))},
			{Value: "mud", Words: w("mud", "muddy", "clay", "bog", "boggy", "gloop", de("matsch", "matschig", "schlamm", "schlammig"), fr("boue", "boueux"), es("barro"), it("fango"))},
			{Value: "rock", Words: w("rock", "rocks", "rocky", "stones", "stony", de("steinig", "felsen", "fels"), fr("rochers", "cailloux"), es("rocas", "piedras"), it("rocce", "sassi"))},
			{Value: "roots", Words: w("roots", "rooty", "root", de("wurzeln", "wurzelig"), fr("racines"), es("raíces", "raices"), it("radici"))},
			{Value: "sand", Words: w("sand", "sandy", "on the beach", "beach sand", "dunes", de("sandig"), fr("sable"), es("arena"), it("sabbia"))},
			{Value: "soft", Words: w("soft", "loose", "loam", "loamy", "deep snow", "deep sand", de("weich", "lose"), fr("mou", "meuble"), es("blando"), it("morbido"))},
			{Value: "snow", Words: w("snow", "snowy", "groomed", "packed snow", "ice", "icy", de("schnee", "eis"), fr("neige"), es("nieve"), it("neve"))},
			{Value: "smooth", Words: w("smooth", "groomed trail", "flat smooth", de("glatt", "eben"), fr("lisse"), es("liso"), it("liscio"))},
		}}},
	}
)

// Tyres, rims and what is in or between them.
var (
	tyreOption = &spec.Arg[tyres]{
		Info: spec.Info{Name: "tyre", Help: "size of the tyre as marked, or its width", Example: "29x2.4",
			Words: w("tyre", "tyres", "tire", "tires", "rubber", "wide tyre", de("reifen"), fr("pneu", "pneus"), es("cubierta", "cubiertas", "neumático", "neumáticos"), it("gomma", "gomme", "copertone", "copertoni", "copertura", "coperture", "pneumatico", "pneumatici"))},
		As: read.Tyres{},
	}
	rim = &spec.Arg[rims]{
		Info: spec.Info{Name: "rim", Help: "inner width of the rim, or its mark", Example: "30 mm",
			Words: w("rim", "rims", "inner", "internal", "internally", "int", "id", "inside", "i", "iw", "inner width", "internal width", "rim width", "wide rim", "wide rims", "mtb rims", "mtb rim", "bike rims",
				de("felge", "felgen", "innen", "intern", "innenbreite", "maulweite", "innenweite"), fr("jante", "jantes", "interne", "largeur interne"), es("llanta", "llantas", "interior", "ancho interno"), it("cerchio", "cerchi", "interno", "canale")),
			Hints: w("on", "on my", "with my", "over", "onto", "for", "s", de("auf"), fr("sur"), es("en", "sobre"), it("su"))},
		As: read.Rims{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.FrontRear, Least: 10 * mm, Most: 110 * mm,
			Habits: []read.Habit{{Unit: quantity.MM, From: 19, To: 40, Alone: 1.25}, {Unit: quantity.MM, From: 12, To: 110}}}},
	}
	bead = &spec.Arg[string]{
		Info: spec.Info{Name: "bead", Help: "how the rim holds the bead", Example: "hookless"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "hooked", Words: w("hooked", "crochet", "crotchet", "with hooks", de("mit haken", "hakenfelge"), fr("à crochets"), es("con gancho"), it("con uncino"))},
			{Value: "hookless", Words: w("hookless", "hook less", "straight side", "straight-side", "straight sided", "tss", "no hooks", de("ohne haken", "hakenlos", "hakenlose", "hakenloser", "hakenlosen"), fr("sans crochet", "sans crochets"), es("sin gancho", "sin ganchos"), it("senza uncino", "senza uncini"))},
		}}},
	}
	system = &spec.Arg[eachWord]{
		Info: spec.Info{Name: "system", Help: "tubeless or tubes", Example: "tubeless"},
		As: read.EachOf{Choices: read.Choices{Axis: spec.FrontRear, All: []read.Choice{
			{Value: "tubeless", Words: w("tubeless", "tl", "tubless", "no tubes", "with sealant", "on sealant", de("schlauchlos"), fr("sans chambre"), es("sin cámara", "sin camara"), it("senza camera"))},
			{Value: "tubes", Words: w("tubes", "tube", "tubed", "inner tube", "inner tubes", "with tubes", de("schlauch", "schläuche", "mit schlauch"), fr("chambre à air", "chambres à air", "chambre", "chambres"), es("cámara", "camara", "con cámara"), it("camera d'aria", "camere d'aria", "camera"))},
		}}},
	}
	casing = &spec.Arg[eachWord]{
		Info: spec.Info{Name: "casing", Help: "how stout the tyre's casing is", Example: "heavy"},
		As: read.EachOf{Choices: read.Choices{Axis: spec.FrontRear, Noun: w("casing", "casings", "carcass", "sidewall", "sidewalls", de("karkasse"), fr("carcasse"), es("carcasa"), it("carcassa")), All: []read.Choice{
			{Value: "light", Words: w("light", "lighter", "thin", "thinner", "lightweight", "supple", "xc", de("leicht", "leichte", "leichter", "leichten", "dünn", "dünne"), fr("légère"), es("ligera"), it("leggera", "sottile")), Lone: w("single ply", "single-ply")},
			{Value: "normal", Words: w("normal", "standard", "trail", "medium")},
			{Value: "heavy", Words: w("heavy", "heavier", "stouter", "stiffer", "thick", "thicker", "tough", "reinforced", "strong", "stronger", "dh", "downhill", "enduro", de("dick", "dicke", "dickere", "schwer", "schwere", "schwerer", "schweren", "stabile", "verstärkte"), fr("épaisse", "renforcée", "lourde"), es("gruesa", "reforzada", "pesada"), it("pesante", "rinforzata", "spessa")), Lone: w("double ply", "double-ply", "dual ply", "dual-ply", "two ply", "2 ply")},
		}}},
	}
	insert = &spec.Arg[string]{
		Info: spec.Info{Name: "insert", Help: "where a foam insert is fitted", Example: "rear"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, Placed: true, Alone: "rear", Several: "both",
			Noun: w("insert", "inserts", "foam insert", "foam inserts", "foam", de("einlage", "einlagen"), fr("mousse", "mousses"), es("espuma", "mousse"), it("inserto", "inserti")), All: []read.Choice{
				{Value: "none", Lone: w("no insert", "no inserts", "without insert", "without inserts")},
				{Value: "front"},
				{Value: "rear"},
				{Value: "both", Lone: w("insert both", "inserts both", "inserts both ends", "both inserts", "inserts front and rear", "insert front and rear", "inserts f and r")},
			}}},
	}
	newTyre = &spec.Arg[tyres]{
		Info: spec.Info{Name: "newtyre", Label: "new tyre", Help: "the tyre it is changed to", Example: "29x2.6",
			Words: w("other tyre", "new tyre", "new tyres", "other tyres", "next tyre", "swap tyre to", "swapping to", "swapped to", "switching to", "switched to", "changed to", "changing to", "going to", "moving to", "instead a", "tyre instead", de("neuer reifen", "anderer reifen", "neue reifen", "wechsel auf", "gewechselt auf"), fr("nouveau pneu", "autre pneu", "passe à", "passé à"), es("nueva cubierta", "otra cubierta", "cambio a"), it("nuova gomma", "altra gomma", "passo a")),
			Hints: w("now", "for")},
		As: read.Tyres{Cued: true},
	}
	newRim = &spec.Arg[rims]{
		Info: spec.Info{Name: "newrim", Label: "new rim", Help: "inner width of the rim it is changed to", Example: "35 mm",
			Words: w("swapping rims to", "swap rims to", "swapped rims to", "changing rims to", "changed rims to", "rims swapped to", "new rim", "now rim", "now a rim", "other rim", "new rims", "other rims", "next rim", "wider rim", "narrower rim", "rim now", de("neue felge", "andere felge"), fr("nouvelle jante", "autre jante"), es("nueva llanta", "otra llanta"), it("nuovo cerchio", "altro cerchio"))},
		As: read.Rims{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.FrontRear, Least: 10 * mm, Most: 110 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 12, To: 110}}}},
	}
	undo = &spec.Arg[words]{
		Info: spec.Info{Name: "undo", Label: "no longer", Help: "what is no more so", Example: "tubes"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "wet", Words: w("dry again", "no longer wet", "dried out", "dried up", "not wet any more", de("wieder trocken"), fr("sec à nouveau"), es("seco otra vez"), it("di nuovo asciutto"))},
			{Value: "tubes", Words: w("back to tubeless", "going tubeless", "gone tubeless", "converted to tubeless", "tubes out", "took the tubes out", "without tubes now", de("auf tubeless umgerüstet", "jetzt schlauchlos"), fr("passé en tubeless"), es("pasado a tubeless"), it("passato a tubeless"))},
			{Value: "front insert", Words: w("front insert out", "took the front insert out", "no front insert any more", "removed the front insert")},
			{Value: "rear insert", Words: w("rear insert out", "took the rear insert out", "no rear insert any more", "removed the rear insert")},
			{Value: "casing", Words: w("back to a light casing", "back to the light casing")},
			{Value: "park", Words: w("back from the park", "after the park", "no more park")},
			{Value: "snow", Words: w("snow is hard again", "frozen hard again")},
		}}},
	}
	differs = &spec.Arg[words]{
		Info: spec.Info{Name: "differs", Help: "what is not as before, where it was not said how", Example: "casing"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "casing", Words: w("casing", "casings", "other casing", "another casing", "new casing", "different casing", "carcass", de("karkasse", "andere karkasse"), fr("carcasse"), es("carcasa"), it("carcassa"))},
			{Value: "tyre", Words: w("another tyre", "different tyre", "different tyres", "different tire", "different tires")},
			{Value: "rim", Words: w("another rim", "different rim", "different rims")},
		}}},
	}
	spread = &spec.Arg[string]{
		Info: spec.Info{Name: "spread", Help: "at which end most of the load is", Example: "mostly rear"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "mostly front", Words: w("mostly front", "mostly at the front", "mostly on the front", "mostly in the front", "mostly up front", "mainly front", de("meist vorne", "hauptsächlich vorne"), fr("surtout devant", "surtout à l'avant"), es("sobre todo delante"), it("soprattutto davanti"))},
			{Value: "mostly rear", Words: w("mostly rear", "mostly at the rear", "mostly on the rear", "mostly in the rear", "mostly back", "mostly at the back", "mostly on the back", "mainly rear", "mainly at the back", de("meist hinten", "hauptsächlich hinten"), fr("surtout derrière", "surtout à l'arrière"), es("sobre todo detrás"), it("soprattutto dietro"))},
		}}},
	}
	gap = &spec.Arg[measure]{
		Info: spec.Info{Name: "gap", Help: "space in the frame or fork where the tyre runs", Example: "74 mm",
			Words: w("gap", "frame gap", "stays", "chainstays", "chainstay", "chain stays", "seatstays", "fork gap", "between stays", "between the stays", "between chainstays", "between the chainstays", "between the chain stays", "between the seatstays", "between the fork legs", "btwn stays", "clearance in frame", "frame clearance", "clear", "clears", "fork", "fork gap is", "frame width", de("rahmenbreite", "kettenstreben", "zwischen den kettenstreben", "zwischen den streben", "zwischen den gabelbeinen"), fr("bases", "haubans", "entre les bases", "entre les haubans"), es("vainas", "entre vainas", "entre las vainas"), it("foderi", "tra i foderi", "tra foderi", "fra i foderi"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 15 * mm, Most: 250 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 40, To: 200}}}}, // a bare 29 is a wheel
	}
	measured = &spec.Arg[measure]{
		Info: spec.Info{Name: "measured", Label: "tyre measured", Help: "width of the mounted tyre by calliper", Example: "58 mm",
			Words: w("measured", "calipers", "calliper", "callipers", "caliper", "with calipers", "measures", "came out", "came out at", "comes out at", "came up", "came up at", "comes up", "comes up at", "turned out", "actual", "actually", "really", "is only", "its only", "i measure", "we measure", "but measure", "measure it at", de("gemessen", "messschieber"), fr("mesuré", "mesure"), es("medido", "mide"), it("misurato", "misura"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 15 * mm, Most: 140 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 18, To: 135}, {Unit: quantity.IN, From: 1.2, To: 5.2}}}},
	}
	framemax = &spec.Arg[measure]{
		Info: spec.Info{Name: "framemax", Label: "frame takes", Help: "widest tyre the frame's maker allows", Example: "2.4 in",
			Words: w("frame max", "frame clearance says max", "clearance says max", "frame clearance max", "frame clearance", "clearance max", "fork says max", "frame says max", "fork says", "frame limit", "frame maximum", "max tyre", "max clearance", "frame says", "fork max", "frame max is", "maximum tyre", "max tire")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 15 * mm, Most: 140 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.IN, From: 1, To: 5.5}, {Unit: quantity.MM, From: 18, To: 135}}}},
	}
	outer = &spec.Arg[measure]{
		Info: spec.Info{Name: "outer", Label: "rim outside", Help: "outside width of the rim", Example: "34 mm",
			Words: w("outside", "outer", "external", "externally", "od", "outer width", "outside width", "wide outside", "rim outer width", "rim outside width", "rim external width", "outside of the rim", "outside of rim", "outside rim width", de("außen", "aussen", "außenbreite"), fr("externe", "extérieur"), es("exterior"), it("esterno"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 12 * mm, Most: 120 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 15, To: 115}}}},
	}
)

// Pressures, limits, and the weather they are ridden in.
var (
	pressure = &spec.Arg[measures]{
		Info: spec.Info{Name: "pressure", Help: "pressure in the tyres or wished for", Example: "22 psi/25 psi",
			Words: w("pressure", "pressures", "wish", "psi is", "at psi", "gauge says", "gauge reads", "my gauge says", de("druck", "luftdruck"), fr("pression"), es("presión", "presion"), it("pressione")),
			Hints: w("at", "@", "put", "put in", "running", "run", "i put", "can i put", "can i run", "set to", "set at", "set", "pumped", "pumped to", "pump to", "starting", "start", "started", "started at", "was", "was at", "ran", "i ran", "running at", "still on", "currently", "usually", "normally", "normal is", "had it at", "had them at")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindPressure, Axis: spec.FrontRear, Most: 60 * bar, Loose: true, LineEnd: true, Said: true, Lone: 0.9,
			Habits: []read.Habit{{Unit: quantity.PSIUnit, From: 9, To: 120, Alone: 0.85}, {Unit: quantity.BarUnit, From: 0.9, To: 6, Alone: 0.75}, {Unit: quantity.PSIUnit, From: 3, To: 9, Alone: 1.3}}}},
	}
	tyremax = labelled("tyre's highest", limit("tyremax", "highest pressure marked on the tyre", "36 psi", w("tyre max", "max", "maximum", "max pressure", "max on tyre", "tyre says max", "tyre maximum", "tyre limit", "tire max", "sidewall says", "tyre marked", "tyre reads max", "max on the tyre", "max on sidewall", de("reifen max"), fr("pneu max"), es("máximo cubierta"), it("massimo gomma"))))
	tyremin = labelled("tyre's lowest", limit("tyremin", "lowest pressure marked on the tyre", "20 psi", w("tyre min", "min", "minimum", "min pressure", "min on tyre", "tyre minimum", "tire min", "min on the tyre", de("reifen min"), fr("pneu min"), es("mínimo cubierta"), it("minimo gomma"))))
	rimmax  = labelled("rim's highest", limit("rimmax", "highest pressure marked on the rim", "32 psi", w("rim max", "max on rim", "rim maximum", "rim limit", "rim says max", "rim marked", "max on the rim", de("felge max"), fr("jante max"), es("máximo llanta"), it("massimo cerchio"))))

	settemp = &spec.Arg[measure]{
		Info: spec.Info{Name: "settemp", Label: "set at", Help: "temperature of the tyre where its pressure is set", Example: "20 °C",
			Words: w("pumped at", "pumping at", "inflated at", "set in", "pumping in", "pumped in", "pumped up in", "inflated in", "inside", "set inside", "pumped inside", "kitchen", "house", "in house", "in the house", "indoors", "indoor", "garage", "workshop", "cellar", "shed", "room", de("werkstatt", "keller", "im keller", "drinnen", "aufgepumpt bei"), fr("atelier", "garage", "gonflé à", "gonflés à"), es("taller", "garaje", "inflado a"), it("officina", "gonfiato a")),
			Hints: w("set at")},
		As: read.Number{Numbers: temperature("ridetemp", read.Named{Value: measure{Number: 20, Unit: quantity.DegC},
			Words: w("indoors", "indoor", "in house", "in the house", "kitchen", "in the kitchen", "living room", "room temperature", "warm room")})},
	}
	ridetemp = &spec.Arg[measure]{
		Info: spec.Info{Name: "ridetemp", Label: "ridden at", Help: "temperature where the tyre is ridden", Example: "-5 °C",
			Words: w("riding at", "ride at", "ridden at", "temperature", "temp", "outside", "outdoors", "outside at", "outside its", "at the trailhead", "on the trail", "out there", "degrees outside", "car", "hot day", de("temperatur", "fahre bei", "gefahren bei", "draußen"), fr("température", "je roule à", "il fait", "dehors"), es("temperatura", "ruedo a", "fuera"), it("temperatura", "esco a", "fuori"))},
		As: read.Number{Numbers: temperature("", read.Named{Value: measure{Number: 70, Unit: quantity.DegC},
			Words: w("hot car", "in a hot car", "in the hot car", "car in the sun", "in the car", "in a car", "parked car", "closed car", "boot of the car", "car boot", "trunk of the car")})},
	}
	setheight = &spec.Arg[measure]{
		Info: spec.Info{Name: "setheight", Label: "set at", Help: "height above sea level where the pressure is set", Example: "0 m",
			Words: w("drive from", "drove from", "coming from", "starting from", "from home at", "from valley", "valley", "valley at", "home at"),
			Hints: w("set at", "pumped at", "inflated at", "from")},
		As: read.Number{Numbers: heights("rideheight")},
	}
	rideheight = &spec.Arg[measure]{
		Info: spec.Info{Name: "rideheight", Label: "ridden at", Help: "height above sea level where the tyre is ridden", Example: "2000 m",
			Words: w("altitude", "elevation", "drive to", "drive up to", "drive down to", "up to", "up at", "top at", "summit", "pass", "climb to", de("höhe"), fr("altitude"), es("altitud"), it("quota")),
			Hints: w("riding at", "ride at")},
		As: read.Number{Numbers: heights("", read.Named{Value: measure{Number: 2438, Unit: quantity.M},
			Words: w("flying", "flight", "fly", "plane", "airplane", "aeroplane", "airliner", "in the hold", "cabin", de("fliegen", "flugzeug"), fr("avion"), es("avión", "avion"), it("aereo"))})},
	}
	target = &spec.Arg[measures]{
		Info: spec.Info{Name: "target", Help: "pressure wanted where the tyre is ridden", Example: "22 psi/25 psi",
			Words: w("want", "need", "i need", "to have", "to read", "to get", "want to have", "so it reads", "should read", "ends up at", "target")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindPressure, Axis: spec.FrontRear, Most: 60 * bar, Cued: true, Said: true,
			Habits: []read.Habit{{Unit: quantity.PSIUnit, From: 9, To: 120}, {Unit: quantity.BarUnit, From: 0.9, To: 6}, {Unit: quantity.PSIUnit, From: 3, To: 9}}}},
	}
)

// wireNouns stand behind the diameter of a plain spoke.
var wireNouns = []string{"spoke", "spokes", "plain", "straight", "round", "wire", "db", "butted", "speiche", "speichen", "rayon", "rayons", "radio", "radios", "raggio", "raggi"}

// temperature is how temperatures are read. Above what is likely in degrees
// Celsius a bare number is Fahrenheit.
func temperature(before string, named ...read.Named) read.Numbers {
	return read.Numbers{Kind: quantity.KindTemperature, Axis: spec.NoAxis, Least: 213.15, Most: 393.15, Before: before, Named: named,
		Habits: []read.Habit{{Unit: quantity.DegC, From: -40, To: -0.5, Alone: 0.5}, {Unit: quantity.DegC, From: -40, To: 45}, {Unit: quantity.DegF, From: 45, To: 120}}}
}

// heights is how heights above sea level are read: a number without a cue only
// from 100 m, in metres or feet.
func heights(before string, named ...read.Named) read.Numbers {
	sea := read.Named{Value: measure{Number: 0, Unit: quantity.M},
		Words: w("sea level", "at sea level", "beach", "coast", "seaside", "by the sea", de("meereshöhe"), fr("niveau de la mer"), es("nivel del mar"), it("livello del mare"))}
	return read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: -500, Most: 11000, Before: before, Said: true,
		AloneFrom: 100, AloneIn: []quantity.Unit{quantity.M, quantity.FT}, Named: append(named, sea),
		Habits: []read.Habit{{Unit: quantity.M, From: 100, To: 4900}, {Unit: quantity.FT, From: 4900, To: 15000}}}
}

func limit(name, help, example string, cues spec.Words) *spec.Arg[measure] {
	return &spec.Arg[measure]{
		Info: spec.Info{Name: name, Help: help, Example: example, Words: cues},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindPressure, Axis: spec.NoAxis, Least: 0.1 * bar, Most: 20 * bar, Cued: true, Said: true,
			Habits: []read.Habit{{Unit: quantity.PSIUnit, From: 10, To: 250}, {Unit: quantity.BarUnit, From: 2.9, To: 9.9}}}},
	}
}

// What is measured on the way to a dimension.
var (
	guide = &spec.Arg[string]{
		Info: spec.Info{Name: "guide", Help: "what is to be measured, step by step", Example: "erd"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "erd", Words: w("how do i find erd", "how do i find the erd", "how to find erd", "find erd", "measure erd", "get erd", "get the erd", "how do i get erd", "how do i get the erd", "work out erd", "work out the erd", "how do i measure erd", "how to measure erd", "how do you measure erd", "how is erd measured", "hows erd measured", "how erd is measured", "how is the erd measured", "how do i mesure erd", "mesure erd", "mesure the erd", "how to mesure erd", "mesurer erd", "medir erd", "misurare erd", "measure the erd", "measuring erd", "find the erd", "measure my erd", "measure rim erd", de("erd messen"), fr("mesurer l'erd"))},
			{Value: "hub", Words: w("how do i measure a hub", "how do i measure the hub", "how do i measure my hub", "how do you measure a hub", "how to measure a hub", "measure flange offsets", "measure the flange offsets", "measure offsets", "measure flanges", "measure the flanges", "measure hub", "measure the hub", "measure a hub", "measure this hub", "measure my hub", "measuring a hub", "no data on this hub", "no data on the hub", "no data for this hub", "walk me through measuring", "walk me through a hub", de("nabe messen", "nabe vermessen"), fr("mesurer le moyeu"), es("medir el buje"), it("misurare il mozzo"))},
			{Value: "circle", Words: w("measure circle", "measure the circle", "measure pcd", "measure the pcd", "measure hole circle", "measure the hole circle", "measure spoke circle", de("lochkreis messen"))},
			{Value: "inner", Words: w("help me measure my rim", "measure inner", "measure rim", "measure the rim", "measure my rim", "measure inner width", "measure the inner width", "measure rim width", "measure the rim width", "measure internal width", de("maulweite messen", "innenbreite messen"), fr("mesurer la jante"))},
			{Value: "gap", Words: w("measure gap", "measure frame", "measure the frame", "measure frame gap", "measure the frame gap", "measure the gap", "measure frame clearance", "measure clearance", de("rahmenbreite messen"))},
			{Value: "tyre", Words: w("measure tyre", "measure tire", "measure the tire", "measure tyre width", "measure the tyre", "measure my tyre", "measure a tyre", "measure tire width", de("reifenbreite messen"), fr("mesurer le pneu"))},
		}}},
	}
	head = &spec.Arg[string]{
		Info: spec.Info{Name: "head", Help: "how the hub holds its spokes: by their elbow, or straight", Example: "elbow"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "elbow", Words: w("elbow", "elbow spokes", "j bend", "j-bend", "jbend", de("bogenspeichen"), fr("coudés"))},
			{Value: "straight pull", Words: w("straight", "straight spokes", de("geradzug"))},
		}}},
	}
	// leftOut has no words of its own: who says "skip" sets it.
	leftOut = &spec.Arg[words]{
		Info: spec.Info{Name: "leftout", Label: "left out", Help: "what could not be measured, by the name of its option", Example: "thickness"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "head"}, {Value: "way"}, {Value: "holes"}, {Value: "width"}, {Value: "thickness"}, {Value: "faceleft"}, {Value: "faceright"}, {Value: "circle"},
			{Value: "across"}, {Value: "tangent"}, {Value: "ahead"}, {Value: "flangehole"}, {Value: "pitch"}, {Value: "rods"}, {Value: "between"}, {Value: "outer"}, {Value: "gap"}, {Value: "measured"},
		}}},
	}
	way = &spec.Arg[string]{
		Info: spec.Info{Name: "way", Help: "how the hole circle is measured", Example: "across"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "across", Words: w("across the flange", "to the opposite hole", "opposite holes")},
			{Value: "neighbours", Words: w("neighbours", "neighbouring holes", "neighbors", "next to each other", "cant reach across")},
		}}},
	}
	width     = taken("width", "width over the faces that stand in the frame, end caps on", "148 mm", 70, 220, w("hub", "over the faces", "face to face", "end to end", "over end caps", "between end faces", "axle width", "over locknuts", "over lock nuts", de("einbaubreite", "klemmbreite"), fr("largeur de moyeu"), es("ancho del buje"), it("larghezza mozzo")))
	thickness = taken("thickness", "thickness of the flange at the spoke holes", "3 mm", 1, 10, w("flange thickness", "thick flange", "flange thick", "thick flanges", "thickness", de("flanschdicke"), fr("épaisseur de flasque")))
	faceleft  = labelled("left face", taken("faceleft", "from the left face to the middle of the left flange, or to its outer side if its thickness is told", "38 mm", 1, 120, w("from left", "from left end", "from the left end", "from left face", "from the left", "left end to flange", "left face to flange", "from left end to flange", de("von links", "links bis flansch"), fr("depuis la gauche"))))
	faceright = labelled("right face", taken("faceright", "from the right face to the middle of the right flange, or to its outer side if its thickness is told", "53 mm", 1, 120, w("from right", "from right end", "from the right end", "from right face", "from the right", "right end to flange", "right face to flange", "from right end to flange", de("von rechts", "rechts bis flansch"), fr("depuis la droite"))))
	across    = taken("across", "between the outer edges of two opposite holes", "60.5 mm", 20, 400, w("across", "hole to opposite hole", "outer edge to outer edge", "edge to edge"))
	pitch     = taken("pitch", "between the middles of two neighbouring holes", "11.3 mm", 4, 150, w("pitch", "apart", "apart centre to centre", "apart center to center", "centre to centre", "center to center", "flange holes", "next holes are", "next holes", "next hole", "neighbouring holes are", "hole to next hole", "hole spacing", de("lochabstand"), fr("entre trous voisins"), es("entre agujeros"), it("tra fori vicini")))
	rods      = taken("rods", "length of each of the two rods", "280 mm", 50, 400, w("rods", "rod", "two rods", "rods of", "each rod", "each", "two old spokes", "spokes each", "spokes of", de("stäbe", "stab"), fr("tiges"), es("varillas"), it("aste")))
	between   = &spec.Arg[measure]{
		Info: spec.Info{Name: "between", Help: "between the inner ends of the rods; negative where they overlap", Example: "12 mm",
			Words: w("between", "gap between", "between them", "between the rods", "between the ends", "overlap", de("dazwischen", "abstand der stäbe"), fr("entre les tiges"), es("entre las varillas"), it("tra le aste")),
			Hints: w("gap")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: -400 * mm, Most: 600 * mm, Cued: true, Strict: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: -400, To: 600}}}},
	}
)

// labelled gives an option the name that answers call it by.
func labelled[T any](label string, o *spec.Arg[T]) *spec.Arg[T] {
	o.Label = label
	return o
}

// taken is a length that somebody measures.
func taken(name, help, example string, least, most float64, cues spec.Words) *spec.Arg[measure] {
	return &spec.Arg[measure]{
		Info: spec.Info{Name: name, Help: help, Example: example, Words: cues},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: least * mm, Most: most * mm, Cued: true, Strict: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: least, To: most}}}},
	}
}

// What goes into a tyre.
var (
	cartridge = &spec.Arg[[]read.Cartridge]{
		Info: spec.Info{Name: "cartridge", Help: "gas in cartridges, to compare", Example: "16 g",
			Words: w("co2", "co₂", "cartridge", "cartridges", "canister", "gas", de("kartusche"), fr("cartouche"), es("cartucho"), it("cartuccia"))},
		As: read.Cartridges{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.NoAxis, Least: 0.001 * kg, Most: 0.5 * kg, Many: true, AloneFrom: 0.001, AloneTo: 0.25, AloneIn: []quantity.Unit{quantity.G}, Cued: false,
			Habits: []read.Habit{{Unit: quantity.G, From: 8, To: 150}}}},
	}
	startsFrom = &spec.Arg[string]{
		Info: spec.Info{Name: "start", Help: "how the tyre stands before it is filled", Example: "round"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "round", Words: w("still round", "standing round", "round", "seated", de("noch rund"), fr("encore rond"), es("aún redonda"), it("ancora tondo"))},
			{Value: "flat", Words: w("squashed flat", "squashed", "dead flat", "completely flat", "totally flat", "empty tyre", de("ganz platt", "zusammengedrückt"), fr("complètement à plat"), es("aplastada"), it("completamente a terra"))},
		}}},
	}
	pump = &spec.Arg[measure]{
		Info: spec.Info{Name: "pump", Help: "air of one stroke of the pump", Example: "50 ml",
			Words: w("pump", "per stroke", "a stroke", "each stroke", "pump volume", "mini pump", "hand pump", "minipump", de("pumpe", "pro hub"), fr("pompe"), es("bomba"), it("pompa"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindVolume, Anywhere: true, Axis: spec.NoAxis, Least: 1 * ml, Most: 1e5 * ml, Cued: true, // what no pump holds is asked about
			Habits: []read.Habit{{Unit: quantity.ML, From: 20, To: 800}},
			Named: []read.Named{
				{Value: measure{Number: 50, Unit: quantity.ML}, Words: w("mini pump", "minipump", "hand pump", "small pump", de("minipumpe", "handpumpe"), fr("mini pompe"), es("mini bomba"), it("mini pompa"))},
				{Value: measure{Number: 400, Unit: quantity.ML}, Words: w("floor pump", "floor pump strokes", "track pump strokes", "track pump", "standing pump", "workshop pump", de("standpumpe"), fr("pompe à pied"), es("bomba de pie"), it("pompa a pavimento"))},
			}}},
	}
	bottle = &spec.Arg[measure]{
		Info: spec.Info{Name: "bottle", Help: "sealant in the bottle", Example: "1 l",
			Words: w("bottle", "bottle of", "sealant", "bottle of sealant", "goo", "jug", "tub of sealant", "enough", "too much", "too little", de("flasche", "dichtmilch"), fr("bouteille", "bidon"), es("botella", "bote"), it("bottiglia", "flacone"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindVolume, Axis: spec.NoAxis, Least: 20 * ml, Most: 25000 * ml, AloneFrom: 200 * ml, AloneTo: 25000 * ml, AloneIn: []quantity.Unit{quantity.ML, quantity.L},
			Named:  []read.Named{{Value: measure{Number: 0.5, Unit: quantity.L}, Words: w("half a litre", "half a liter")}},
			Habits: []read.Habit{{Unit: quantity.ML, From: 50, To: 25000}}}},
	}
	howMany = &spec.Arg[measure]{
		Info: spec.Info{Name: "tyres", Label: "how many tyres", Help: "how many tyres are to be filled", Example: "8",
			Words: w("tyres", "tires", "tyres all", "wheels", "mtb tyres", "mtb tires", de("reifen", "mäntel", "pneus", "laufräder"), fr("pneus", "roues"), es("cubiertas", "ruedas", "neumáticos", "llantas"), it("gomme", "ruote", "coperture", "copertoni"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 1, Most: 500, Whole: true, Cued: true, Behind: true,
			Habits: []read.Habit{{From: 1, To: 500}}}},
	}
	tape = &spec.Arg[measure]{
		Info: spec.Info{Name: "tape", Label: "tape width", Help: "width of the rim tape at hand", Example: "32 mm",
			Words: w("tape", "rim tape", "tubeless tape", "wide tape", de("felgenband"), fr("ruban", "fond de jante"), es("cinta"), it("nastro"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Anywhere: true, Axis: spec.NoAxis, Least: 10 * mm, Most: 120 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 14, To: 110}}}},
	}
	stem = &spec.Arg[measure]{
		Info: spec.Info{Name: "stem", Label: "valve length", Help: "length of the valve at hand", Example: "60 mm",
			Words: w("valve", "valves", "valve stem", "valve stems", "presta", "presta valve", "valve is", "valves are", "mm valve", de("ventil", "ventile"), fr("valve", "valves"), es("válvula", "válvulas"), it("valvola", "valvole"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Anywhere: true, Axis: spec.NoAxis, Least: 15 * mm, Most: 150 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 30, To: 120}}}},
	}
	depth = &spec.Arg[measure]{
		Info: spec.Info{Name: "depth", Label: "rim depth", Help: "depth of the rim, from its bed to the spoke side", Example: "45 mm",
			Words: w("deep", "depth", "rim depth", "deep rim", "deep rims", "tall", de("hoch", "hohe", "hoher", "hohen", "felgenhöhe", "tief", "tiefe"), fr("hauteur", "profonde"), es("perfil", "profundidad"), it("profilo", "profondità"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 8 * mm, Most: 110 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 8, To: 110}}}},
	}
)

// The wheel as it is built.
var (
	end = &spec.Arg[string]{
		Info: spec.Info{Name: "end", Label: "wheel", Help: "the wheel meant", Example: "rear"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "front", Words: w("front", "front wheel", "front hub", de("vorderrad"), fr("roue avant"), es("rueda delantera"), it("ruota anteriore"))},
			{Value: "rear", Words: w("rear", "rear wheel", "back wheel", "rear hub", de("hinterrad"), fr("roue arrière"), es("rueda trasera"), it("ruota posteriore"))},
		}}},
	}
	brake = &spec.Arg[string]{
		Info: spec.Info{Name: "brake", Help: "the wheel's brake", Example: "disc"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "disc", Words: w("disc", "disk", "disc brake", "disc wheel", "rotor", "6 bolt", "centre lock", de("scheibe", "scheibenbremse", "disc bremse"), fr("disque"), es("disco"), it("disco"))},
			{Value: "rim", Words: w("rim brake", "rim brakes", "rim-brake", de("felgenbremse"), fr("patins"), es("freno de llanta"), it("freno a pattino"))},
		}}},
	}
	erd = &spec.Arg[measure]{
		Info: spec.Info{Name: "erd", Label: "ERD", Help: "effective rim diameter: the circle on which the spoke ends lie", Example: "602 mm",
			Words: w("erd", "effective rim diameter", "effective diameter", "rim erd", "new one", "new rim erd", "new erd", "new one is", "new rim is", "new one has", de("wirksamer felgendurchmesser"), fr("diamètre effectif"), es("diámetro efectivo"), it("diametro effettivo")),
			Hints: w("rim", "new rim")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 150 * mm, Most: 800 * mm,
			Habits: []read.Habit{{Unit: quantity.MM, From: 300, To: 650, Alone: 1.1}, {Unit: quantity.MM, From: 150, To: 800}}}},
	}
	erdkind = &spec.Arg[string]{
		Info: spec.Info{Name: "erdkind", Label: "ERD to the", Help: "where the ERD was measured to", Example: "slot"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "slot", Words: w("to the slot", "slot floor", "nipple slot", "slot", "bottom of slot")},
			{Value: "top", Words: w("nipple top", "top of the nipple", "top of nipple", "nipple head", "to the top")},
			{Value: "hole", Words: w("bare hole", "empty hole", "rim hole")},
		}}},
	}
	circle = &spec.Arg[measures]{
		Info: spec.Info{Name: "circle", Label: "hole circle", Help: "diameter of the circle of spoke holes in the flange, left/right", Example: "58 mm/57 mm",
			Words: w("circle", "circles", "pcd", "hole circle", "hole circles", "spoke circle", "flange diameter", "flange diameters", "flange", "flanges", "bolt circle", "diameter", de("lochkreis", "teilkreis", "flansch"), fr("entraxe", "cercle"), es("círculo", "circulo", "diámetro de ala", "brida"), it("interasse", "flangia"))},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Usual: true, Loose: true, Least: 24 * mm, Most: 320 * mm,
			Habits: []read.Habit{{Unit: quantity.MM, From: 38, To: 75, Alone: 0.9}, {Unit: quantity.MM, From: 75, To: 125, Alone: 1.3}, {Unit: quantity.MM, From: 24, To: 320}}}},
	}
	offset = &spec.Arg[[]measures]{
		Info: spec.Info{Name: "offset", Help: "distance of each flange from the middle of the hub, left/right", Example: "36.1 mm/20.9 mm",
			Words: w("offset", "offsets", "flange offset", "flange offsets", "ctf", "centre to flange", "center to flange", "centre-to-flange", "center-to-flange", "flange to centre", "flange to center", "flanges to centre", "flanges to center", "flange from centre", "flange from center", "flange distance", "to flange", "to center", "to centre", "from centre", "from center", "from the centre", "from the center", "from middle", "from the middle", "w", de("flanschabstand", "abstand", "abstände", "mitte flansch", "flansch mitte"), fr("déport", "distance flasque", "centre flasque", "centre à flasque"), es("distancia al ala", "distancia", "centro a brida", "centro brida", "centro a ala"), it("distanza flangia", "centro flangia")),
			Hints: w("flanges", "left flange", "right flange", "flange left", "flange right")},
		As: read.Pairs{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Paired: true, Many: true, Least: -20 * mm, Most: 110 * mm,
			Habits: []read.Habit{{Unit: quantity.MM, From: 8, To: 62, Alone: 1.0}, {Unit: quantity.MM, From: -20, To: 110}}}},
	}
	holes = &spec.Arg[counts]{
		Info: spec.Info{Name: "holes", Help: "number of spokes, or holes of hub/rim", Example: "32",
			Words: w("h", "hole", "holes", "spoke", "spokes", de("loch", "löcher", "speichen"), fr("trous", "rayons"), es("agujeros", "radios"), it("fori", "raggi"))},
		As: read.Counts{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.HubRim, Least: 1, Most: 144, Whole: true, Many: true,
			Habits: []read.Habit{{From: 16, To: 48, Alone: 1.3}}}},
	}
	cross = &spec.Arg[counts]{
		Info: spec.Info{Name: "cross", Label: "crossings", Help: "how many spokes each spoke crosses, left/right; 0 is radial", Example: "3",
			Words: w("x", "cross", "crosses", "crossing", "crossings", "crossed", "times crossed", "fach", de("fach", "kreuzungen", "gekreuzt"), fr("croisements", "croisé", "croisés", "croisée", "croisées"), es("cruce", "cruces", "cruzado", "cruzados"), it("incroci", "incrociato", "incrociati")),
			Hints: w("lacing")},
		As: read.Counts{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.LeftRight, Least: 0, Most: 9, Whole: true, Many: true, Paired: true,
			Habits: []read.Habit{{From: 0, To: 4, Alone: 1.1}, {From: 0, To: 9}},
			Named:  []read.Named{{Value: measure{Number: 2}, Words: w(it("in seconda"))}, {Value: measure{Number: 3}, Words: w(it("in terza"))}, {Value: measure{Number: 4}, Words: w(it("in quarta"))}}}},
	}
	pattern = &spec.Arg[string]{
		Info: spec.Info{Name: "pattern", Help: "how the wheel is laced", Example: "2:1"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "crossed", Words: w("crossed pattern", "normal lacing")},
			{Value: "radial", Words: w("radial", "radially", "radial lacing", de("radial eingespeicht"), fr("radial"), it("radiale"))},
			{Value: "2:1", Words: w("2:1", "2 to 1", "two to one", "triplet")},
			{Value: "paired", Words: w("paired", "paired spokes", "paired holes", de("gepaart"), fr("par paires"))},
			{Value: "crowsfoot", Words: w("crow's foot", "crows foot", "crowsfoot", "crow foot", de("krähenfuß"))},
		}}},
	}
	shift = &spec.Arg[measures]{
		Info: spec.Info{Name: "shift", Label: "rim offset", Help: "sideways offset of the rim's spoke holes, towards left or right", Example: "3 mm left",
			Words: w("shift", "rim offset", "offset rim", "asymmetric", "asym", "asymmetry", "rim shift", "holes offset", "asymmetric rim", "asymmetric rims", "asym rim", "offset rims", "rim is offset", "rim has an offset of", de("asymmetrie", "versatz"), fr("asymétrie"), es("asimétrica"), it("asimmetria")),
			Hints: w("rim has")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Anywhere: true, LineEnd: true, Axis: spec.LeftRight, Most: 12 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0, To: 12}}}},
	}
	flangehole = &spec.Arg[measure]{
		Info: spec.Info{Name: "flangehole", Label: "hub hole", Help: "diameter of the spoke holes in the flange", Example: "2.6 mm",
			Words: w("flange hole", "flange holes", "hole", "flangehole", "hub hole", "hub holes", "spoke hole", "spoke holes", "hole diameter", "hole size")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 1.5 * mm, Most: 5 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 1.5, To: 5}}}},
	}
	washer = &spec.Arg[measure]{
		Info: spec.Info{Name: "washer", Help: "thickness of the washers under the nipples", Example: "0.5 mm",
			Words: w("washer", "washers", "nipple washer", "nipple washers", de("unterlegscheibe", "unterlegscheiben"), fr("rondelle", "rondelles"), es("arandela", "arandelas"), it("rondella", "rondelle"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Most: 3 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0.1, To: 3}}}},
	}
	step = &spec.Arg[measure]{
		Info: spec.Info{Name: "step", Help: "the step in which spoke lengths are stocked", Example: "2 mm",
			Words: w("step", "steps", "in steps of", "stocked every", "only every", "stock every", "increments", de("schritte", "abstufung"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 0.5 * mm, Most: 5 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0.5, To: 5}},
			Named: []read.Named{
				{Value: measure{Number: 2, Unit: quantity.MM}, Words: w("evens", "even lengths", "even sizes", "even lengths only", "only evens", "odds", "odd lengths")},
				{Value: measure{Number: 1, Unit: quantity.MM}, Words: w("every mm", "every millimetre", "every length")},
			}}},
	}
	mark = &spec.Arg[measure]{
		Info: spec.Info{Name: "mark", Label: "rim's mark", Help: "highest spoke tension marked on the rim", Example: "120 kgf",
			Words: w("tension mark", "max", "maximum", "max tension", "rim max", "rim maximum", "rim mark is", "rim sticker max", "rim sticker says", "rim sticker", "sticker max", "rim says", "rim allows", "rim takes", "rim rated", "rim is rated", "rim tension", "tension max", "rim tension max", "rim mark", "maximum tension", de("maximale speichenspannung"), fr("tension max"), es("tensión máxima"), it("tensione massima"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindForce, Axis: spec.NoAxis, Least: 200, Most: 3000, Cued: true, Said: true,
			Habits: []read.Habit{{Unit: quantity.KGF, From: 40, To: 250}, {Unit: quantity.N, From: 400, To: 2500}}}},
	}
	tangent = &spec.Arg[measures]{
		Info: spec.Info{Name: "tangent", Help: "straight pull: distance at which the spoke's line passes the axle, left/right", Example: "21 mm",
			Words: w("tangent", "tangent radius", "tangent circle", "straight pull radius")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Most: 60 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0, To: 60}}}},
	}
	ahead = &spec.Arg[measures]{
		Info: spec.Info{Name: "ahead", Label: "seat ahead", Help: "straight pull: how far the head's seat lies ahead of the tangent foot, towards the rim; may be negative", Example: "-4 mm",
			Words: w("ahead", "seat ahead", "ahead of the foot", "seat")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Least: -60 * mm, Most: 60 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: -60, To: 60}}}},
	}
	gauge = &spec.Arg[read.Butts]{
		Info: spec.Info{Name: "gauge", Help: "diameters of the spoke, from hub to rim", Example: "2.0/1.8/2.0 mm",
			Words: w("gauge", "butted", "double butted", "db", "wire", "spoke gauge", de("konifiziert", "doppeldick"), fr("jauge"), es("calibre"), it("sfinati"))},
		As: read.Wire{Nouns: wireNouns},
	}
	length = &spec.Arg[measures]{
		Info: spec.Info{Name: "length", Help: "spoke lengths that are known, left/right", Example: "291.3 mm/289.8 mm",
			Words: w("length", "old ones were", "old ones are", "old spokes were", "old spokes are", "calc says", "calculated", "calculator says", "need", "order", "spoke length", "exact length", "spokes were", "spokes are", "spokes in it were", de("länge", "laenge"), fr("longueur"), es("longitud", "largo"), it("lunghezza")),
			Hints: w("spokes", "had", "used", "were")},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Least: 60 * mm, Most: 400 * mm, Loose: true, Lone: 0.8,
			Habits: []read.Habit{{Unit: quantity.MM, From: 220, To: 310, Alone: 1.0}, {Unit: quantity.MM, From: 70, To: 320}}}},
	}
	drawer = &spec.Arg[[]measure]{
		Info: spec.Info{Name: "drawer", Label: "in the drawer", Help: "spoke lengths that are there, to choose from", Example: "290 mm, 292 mm",
			Words: w("in the drawer", "in drawer", "in the box", "in stock", "on the shelf", "lying around", "only got", "i got", "we got", "ive got", "have got", "only have", "i have", "we have", "got", "i only have", "left over", de("auf lager", "in der schublade", "hab noch", "habe noch"), fr("en stock", "j'ai encore"), es("tengo en el cajón"), it("ho nel cassetto"))},
		As: read.Several{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 60 * mm, Most: 400 * mm, Cued: true, Many: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 150, To: 340}}}},
	}
	was = &spec.Arg[measure]{
		Info: spec.Info{Name: "was", Help: "what the changed measure was before", Example: "58 mm",
			Words: w("old", "was", "before", "previously", "used to be", "old one", "old one was", "old rim", "old rim erd", "old erd", "old rim was", "old one is", "old one has", de("alt", "vorher", "früher"), fr("ancien", "avant c'était"), es("antes", "viejo"), it("prima", "vecchio")),
			Hints: w("instead of")},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 1 * mm, Most: 800 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 5, To: 700}}}},
	}
)

// What is read off a wheel on the stand.
var (
	begins = &spec.Arg[string]{
		Info: spec.Info{Name: "first", Label: "first spoke", Help: "the side of the first spoke behind the valve, as the wheel rolls", Example: "left"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "left", Words: w("first left", "first is left", "first spoke left", "first spoke is left", "first one is left", "starts left", "begins left", "left spoke first", "starts on the left", "valve left first", de("links zuerst", "erste links", "beginnt links"), fr("premier à gauche"), es("primero izquierda"), it("primo a sinistra"))},
			{Value: "right", Words: w("first right", "first is right", "first spoke right", "first spoke is right", "first one is right", "starts right", "begins right", "right spoke first", "starts on the right", de("rechts zuerst", "erste rechts", "beginnt rechts"), fr("premier à droite"), es("primero derecha"), it("primo a destra"))},
		}}},
	}
	readings = &spec.Arg[read.Row]{
		Info: spec.Info{Name: "readings", Help: "tension of the spokes, one after the other from the valve, each side behind L or R", Example: "L 62 60 64; R 104 99 101"},
		As: read.Rows{Unit: "unit", Bare: true, Stops: []string{"max", "maximum", "mark", "limit", "rim", "h", "x", "holes", "spokes", "crossings"}, Cues: []string{"tension", "tensions", "readings", "meter", "tension meter", "spoke meter", "tension gauge", "tensiometer", "divisions", "meter says", "meter reads", "meter shows", "meter gives", "meter reading", "reading of", "tensiometer says", "tensiometer reads",
			"spannung", "spannungen", "speichenspannung", "messwerte", "tensions", "lectures", "tensiones", "lecturas", "tensioni", "letture"}},
	}
	level = &spec.Arg[measures]{
		Info: spec.Info{Name: "level", Label: "tension now", Help: "mean tension of a side as it is, for that of the other", Example: "110 kgf right",
			Words: w("mean tension", "average tension", "tensioned to", "tension is", "tension of", "sits at", de("mittlere spannung"), fr("tension moyenne"), es("tensión media"), it("tensione media"))},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindForce, Axis: spec.LeftRight, Least: 50, Most: 3000, Said: true, Sided: true,
			Habits: []read.Habit{{Unit: quantity.KGF, From: 55, To: 160, Alone: 0.8}, {Unit: quantity.KGF, From: 10, To: 250}, {Unit: quantity.N, From: 250, To: 2500}}}},
	}
	unit = &spec.Arg[string]{
		Info: spec.Info{Name: "unit", Help: "in what the readings are: a force, or divisions of a meter", Example: "kgf"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "kgf", Words: w("in kgf", "kilogram force")},
			{Value: "N", Words: w("in newton", "in newtons")},
			{Value: "lbf", Words: w("in pounds force")},
			{Value: "divisions", Words: w("divisions", "on the meter", "on meter", "on a meter", "meter divisions", "on my meter", "on the tensiometer", "meter units", "scale divisions", "on the dial", "meter says", "meter reads", "meter shows", "tensiometer says", "tensiometer reads", de("skalenteile", "teilstriche"), fr("graduations"), es("divisiones"), it("divisioni"))},
		}}},
	}
	meter = &spec.Arg[read.Divisions]{
		Info: spec.Info{Name: "table", Label: "meter", Help: "the tension meter's own table for these spokes: what it reads = the force", Example: "20=75 kgf, 24=110 kgf"},
		As:   read.Tables{},
	}
	tone = &spec.Arg[read.Row]{
		Info: spec.Info{Name: "tone", Help: "tone of plucked spokes in Hz", Example: "440"},
		As:   read.Rows{Least: 20, After: []string{"hz", "hertz"}, Cues: []string{"tones", "pitches", "frequencies", "tone", "pitch", "rings at", "sounds at", "töne", "tons", "tonos", "toni"}},
	}
	side = &spec.Arg[[]read.Spot]{
		Info: spec.Info{Name: "side", Label: "wobble", Help: "how far the rim stands off sideways, and at which spoke from the valve", Example: "0.8 mm right at 5, 0.6 mm left at 12",
			Words: w("wobble", "wobbles", "side", "sideways", "lateral", "runout", "run out", "run-out", "out of true", "out to", "off to", "buckle", "wobble in rim", "wobble in the rim", "wobble in my rim", "seitenschlag", de("seitenschlag", "schlag", "achter"), fr("voile", "voile de"), es("alabeo", "descentrado"), it("sbandamento"))},
		As: read.Spots{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 0.01 * mm, Most: 25 * mm, Cued: true, Many: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0.05, To: 25}}},
			Plus: []string{"right", "r", "rechts", "droite", "derecha", "destra"}, Minus: []string{"left", "l", "links", "gauche", "izquierda", "sinistra"}},
	}
	hop = &spec.Arg[[]read.Spot]{
		Info: spec.Info{Name: "hop", Help: "how far the rim stands out of round, and at which spoke from the valve", Example: "0.6 mm out at 9",
			Words: w("hop", "hops", "out of round", "egg", "radial runout", "radial run out", "high spot", "low spot", "flat spot", "dip", de("höhenschlag"), fr("saut", "faux rond"), es("salto"), it("salto"))},
		As: read.Spots{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 0.01 * mm, Most: 25 * mm, Cued: true, Many: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0.05, To: 25}}},
			Plus: []string{"out", "outward", "outwards", "high", "up", "hoch", "außen"}, Minus: []string{"in", "inward", "inwards", "low", "down", "flat", "tief", "innen"}, Inward: []string{"flat spot", "low spot", "dip"}},
	}
	dish = &spec.Arg[measures]{
		Info: spec.Info{Name: "dish", Help: "gap under the dishing gauge and the side it is on, or the gaps of both sides or before and after the wheel was flipped", Example: "3 mm left",
			Words: w("dish", "gap", "gap on", "gap of", "dish tool", "dish gauge", "dishing", "dishing tool", "dishing gauge", "dish stick", "flipped", "flipped the wheel", "flip the wheel", "flip wheel", "flip it", "flipping", "flipping it", "turned round", "turned around", de("zentrierlehre", "mittigkeit", "umgedreht"), fr("centrage", "parapluie", "retournée", "retourné"), es("paraguas", "centrado"), it("centratura", "campanatura"))},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.LeftRight, Most: 25 * mm, Cued: true, Turned: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0, To: 25}}}},
	}
	aside = &spec.Arg[measures]{
		Info: spec.Info{Name: "aside", Label: "off the middle", Help: "how far the rim stands off the middle, and to which side", Example: "2 mm right",
			Words: w("aside", "sits", "drifts", "drifted", "wanders", "stands off", "rim sits", "wheel sits", "off centre", "off center", "of centre", "of center", "off the middle", "off middle", "off the centre", "off the center", "out of dish", "after dishing", "dishing", "dish is off", "dish is out", "dish off by", "dish out by", "out of centre", "sits over", "over to", "over to the", "too far to", "too far to the", "too far", "toward", "towards", "toward the", "towards the", "closer to", "closer to the", "nearer to", "nearer the", "nearer to the", de("außermittig", "aus der mitte"), fr("décentrée", "décentré"), es("descentrada"), it("fuori centro"))},
		As: read.Pair{Numbers: read.Numbers{Kind: quantity.KindLength, LineEnd: true, Axis: spec.LeftRight, Most: 25 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 0, To: 25}}}},
	}
	earlier = &spec.Arg[string]{
		Info: spec.Info{Name: "earlier", Help: "the rounds before, as the last answer wrote them", Example: "side 0.4 mm right at 5 & turns 5-2 7+1", Carried: true},
		As:   read.Name{Longest: 1400},
	}
)

// Wheels to compare. What the trade names by one word for one wheel is a list here.
var (
	inners = &spec.Arg[[]measure]{
		Info: spec.Info{Name: "inners", Label: "rims", Help: "inner widths of the rims to compare", Example: "25 mm, 30 mm",
			Words: w("rim", "rims", "inner", "internal", de("felge", "felgen"), fr("jante", "jantes"), es("llanta", "llantas"), it("cerchio", "cerchi"))},
		As: read.Several{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 15 * mm, Most: 60 * mm, Cued: true, Many: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 15, To: 60}}}},
	}
	eitherRim = &spec.Arg[[]measure]{
		Info: spec.Info{Name: "rims", Help: "inner widths of rims to choose from", Example: "30 mm, 35 mm", Words: append(w("i"), inners.Words...)},
		As: read.Several{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 15 * mm, Most: 60 * mm, Cued: true, Many: true, Joint: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 15, To: 60}}}},
	}
	wires = &spec.Arg[[]read.Butts]{
		Info: spec.Info{Name: "wires", Label: "spokes", Help: "spokes to compare, by their diameters", Example: "2.0/1.8/2.0 mm, 2.0/1.5/2.0 mm",
			Words: w("gauge", "gauges", "butted", "double butted", "wire")},
		As: read.Wires{Wire: read.Wire{Nouns: wireNouns}},
	}
	sizes = &spec.Arg[words]{
		Info: spec.Info{Name: "sizes", Label: "wheels", Help: "wheel sizes to compare", Example: "27.5"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, Joined: true, All: []read.Choice{
			{Value: "26", Words: w("26 wheels", "26 inch wheels", "26er wheels")},
			{Value: "27.5", Words: w("27.5 wheels", "27.5 inch wheels", "650b wheels")},
			{Value: "29", Words: w("29 wheels", "29 inch wheels", "29er wheels")},
		}}},
	}
	hubs = &spec.Arg[words]{
		Info: spec.Info{Name: "hubs", Label: "hub widths", Help: "widths of rear hubs to compare, with their usual flanges", Example: "142"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, Joined: true, All: []read.Choice{
			{Value: "135", Words: w("135 hubs", "135 mm hubs")},
			{Value: "142", Words: w("142 hubs", "142 mm hubs")},
			{Value: "148", Words: w("148 hubs", "148 mm hubs")},
			{Value: "157", Words: w("157 hubs", "157 mm hubs")},
		}}},
	}
	section = &spec.Arg[words]{
		Info: spec.Info{Name: "section", Label: "rim depth", Help: "how deep the rims are, to compare", Example: "mid"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "shallow", Words: w("shallow", "shallow rim", "shallow section", "low profile", "low profile rim")},
			{Value: "mid", Words: w("mid section", "mid depth", "mid depth rim", "medium rim", "mid rim", "medium depth")},
			{Value: "deep", Words: w("deep", "deep rim", "tall rim", "high profile", "deep section")},
		}}},
	}
	rimmass = &spec.Arg[[]measure]{
		Info: spec.Info{Name: "rimmass", Label: "rim mass", Help: "mass of a rim, or of the rims to compare", Example: "480 g",
			Words: w("rim mass", "rim weight", "rim weighs", "rims weigh", "rim weighing", "rim of", "rims of", "bare rim", "rim alone", "mass of the rim", "weight of the rim", de("felgengewicht", "felge wiegt"), fr("poids de jante", "poids de la jante"), es("peso de la llanta"), it("peso del cerchio")),
			Hints: w("rim", "rims", de("felge"), fr("jante"), es("llanta"), it("cerchio"))},
		As: read.Several{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.NoAxis, Least: 0.15 * kg, Most: 1.2 * kg, Many: true,
			AloneFrom: 0.2, AloneTo: 1.15, AloneIn: []quantity.Unit{quantity.G}, // "25 mm rim 430 g"
			Habits: []read.Habit{{Unit: quantity.G, From: 200, To: 1149}}}},
	}
	setmass = &spec.Arg[[]measure]{
		Info: spec.Info{Name: "setmass", Label: "pair's mass", Help: "mass of a pair of wheels, or of those to compare", Example: "1950 g",
			Words: w("wheelset", "wheelsets", "pair weighs", "wheels weigh", "wheelset weighs", de("laufradsatz", "laufradsätze", "satz"), fr("paire de roues"), es("juego de ruedas"), it("coppia ruote"))},
		As: read.Several{Numbers: read.Numbers{Kind: quantity.KindMass, Axis: spec.NoAxis, Least: 0.8 * kg, Most: 6 * kg, Many: true,
			AloneFrom: 1.15, AloneIn: []quantity.Unit{quantity.G}, // no rim weighs as much
			Habits: []read.Habit{{Unit: quantity.G, From: 1150, To: 4500}, {Unit: quantity.KG, From: 1.1, To: 4.5}}}},
	}
	engaging = &spec.Arg[counts]{
		Info: spec.Info{Name: "engaging", Label: "points", Help: "points of engagement of the freehubs to compare", Example: "36, 54",
			Words: w("points", "point", "pts", "poe", "points of engagement", "engagement points", "t ratchet", de("rastpunkte"), fr("points d'engagement"), es("puntos de enganche"), it("punti di ingaggio"))},
		As: read.Counts{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 4, Most: 1500, Whole: true, Many: true, Cued: true,
			Habits: []read.Habit{{From: 4, To: 1500}}}},
	}
	stiffness = &spec.Arg[[]read.Rigid]{
		Info: spec.Info{Name: "stiffness", Help: "of a rim's section in N·m², if known: E·I radial/lateral and G·J", Example: "EI 110/219 GJ 26"},
		As:   read.Rigids{},
	}
	material = &spec.Arg[words]{
		Info: spec.Info{Name: "material", Help: "what the rim is made of, to compare", Example: "alloy"},
		As: read.ListOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "alloy", Words: w("alloy", "alu", "aluminium", "aluminum", "alloy rim", "alloy rims", "alu rims")},
			{Value: "carbon", Words: w("carbon", "carbon rim", "carbon rims")},
		}}},
	}
)

// Gears, and what a freehub counts.
var (
	points = &spec.Arg[counts]{
		Info: spec.Info{Name: "points", Help: "points of engagement of the freehub in one turn of the wheel", Example: "54",
			Words: w("points", "point", "pts", "poe", "poes", "poi", "points of engagement", "point of engagement", "engagement points", "engagements", "clicks", "t", "ratchet", "t ratchet", "tooth ratchet", de("rastpunkte", "eingriffspunkte"), fr("points d'engagement"), es("puntos", "puntos de enganche"), it("punti", "punti di ingaggio"))},
		As: read.Counts{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 4, Most: 1500, Whole: true, Many: true,
			Habits: []read.Habit{{From: 12, To: 240, Alone: 1.1}, {From: 4, To: 1500}}}},
	}
	pointsApart = &spec.Arg[measure]{
		Info: spec.Info{Name: "apart", Label: "points apart", Help: "angle between two points of engagement, as printed", Example: "7.5°",
			Words: w("engagement angle", "engagement", "between points", "between clicks", "per click", "per point", "of engagement", "freehub", de("eingriff", "eingriffswinkel"), fr("d'engagement"), es("de enganche"), it("di ingaggio"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindAngle, Axis: spec.NoAxis, Least: 0.24 * deg, Most: 90 * deg, Cued: true,
			Habits: []read.Habit{{Unit: quantity.DegreeUnit, From: 0.5, To: 11}}}}, // more would be points
	}
	pawls = &spec.Arg[measure]{
		Info: spec.Info{Name: "pawls", Help: "pawls of the freehub", Example: "6",
			Words: w("pawls", "pawl", de("sperrklinken", "klinken"), fr("cliquets"), es("trinquetes"), it("cricchetti"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 1, Most: 24, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 1, To: 24}}}},
	}
	teeth = &spec.Arg[measure]{
		Info: spec.Info{Name: "teeth", Help: "teeth of the freehub's ratchet ring", Example: "33",
			Words: w("teeth", "tooth", "t", "t ring", "tooth ring", "t ratchet", "tooth ratchet", "ratchet", "ratchet ring", "ratchet teeth", "t drive ring", "drive ring", de("zähne"), fr("dents"), es("dientes"), it("denti"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 8, Most: 200, Whole: true, Cued: true, With: "pawls",
			Habits: []read.Habit{{From: 12, To: 120}, {From: 1, To: 1000}}}},
	}
	phases = &spec.Arg[measure]{
		Info: spec.Info{Name: "phases", Help: "groups of pawls that engage one after the other", Example: "2",
			Words: w("phases", "phase", "groups", "sets of pawls", de("phasen", "gruppen"), fr("phases"), es("fases"), it("fasi"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 1, Most: 24, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 1, To: 24}},
			Named: []read.Named{
				{Value: measure{Number: 1}, Words: w("in phase", "all together", "all at once", "all drop at once", "all drop together", "all engage at once", "all engage together", "all fire at once", "all fire together", "single phase", de("alle zugleich", "alle gleichzeitig"), fr("tous ensemble", "tous à la fois"), es("todos a la vez"), it("tutti insieme"))},
				{Value: measure{Number: 2}, Words: w("dual phase", "out of phase")},
			}}},
	}
	ring = &spec.Arg[measure]{
		Info: spec.Info{Name: "ring", Help: "teeth of the chainring", Example: "32",
			Words: w("ring", "chainring", "chain ring", "t ring", "t chainring", "tooth ring", "tooth chainring", "t", "front ring", "ring in front", "t front", "t up front", de("kettenblatt"), fr("plateau"), es("plato"), it("corona"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 10, Most: 80, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 20, To: 60}, {From: 0, To: 1000}}}},
	}
	newRing = &spec.Arg[measure]{
		Info: spec.Info{Name: "newring", Label: "new ring", Help: "teeth of the chainring it is changed to", Example: "30",
			Words: w("new ring", "other ring", "new chainring", "other chainring", "ring instead", de("neues kettenblatt"), fr("nouveau plateau"), es("nuevo plato"), it("nuova corona"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 10, Most: 80, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 20, To: 60}, {From: 0, To: 1000}}}},
	}
	cog = &spec.Arg[measure]{
		Info: spec.Info{Name: "cog", Help: "teeth of the cog behind; of a cassette as 10-51 the largest", Example: "51",
			Words: w("cog", "sprocket", "t cog", "t sprocket", "cassette", "t cassette", "lowest cog", "biggest cog", "largest cog", "dinner plate", "t rear", "t back", "t out back", de("ritzel"), fr("pignon"), es("piñón", "piñon", "pinon"), it("pignone"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 7, Most: 80, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 9, To: 60}, {From: 0, To: 1000}}}},
	}
	newCog = &spec.Arg[measure]{
		Info: spec.Info{Name: "newcog", Label: "new cog", Help: "teeth of the cog behind after the change; of a cassette as 10-51 the largest", Example: "50",
			Words: w("new cog", "new cassette", "other cassette", "new sprocket", de("neue kassette"), fr("nouvelle cassette"), es("nuevo casete"), it("nuova cassetta"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 7, Most: 80, Whole: true, Cued: true,
			Habits: []read.Habit{{From: 9, To: 60}, {From: 0, To: 1000}}}},
	}
	cadence = &spec.Arg[measure]{
		Info: spec.Info{Name: "cadence", Help: "turns of the crank in a minute, for the speed", Example: "90",
			Words: w("rpm", "cadence", "cadence of", "revs", "turns a minute", de("u/min", "trittfrequenz", "umdrehungen"), fr("tr/min", "cadence"), es("cadencia"), it("cadenza", "giri", "giri al minuto"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 20, Most: 250, Cued: true, Counted: "rpm",
			Habits: []read.Habit{{From: 20, To: 250}}}},
	}
	crank = &spec.Arg[measure]{
		Info: spec.Info{Name: "crank", Help: "length of the crank", Example: "170 mm",
			Words: w("crank", "cranks", "crank length", "crank arms", "crankset", de("kurbel", "kurbeln", "kurbellänge"), fr("manivelle", "manivelles"), es("biela", "bielas"), it("pedivella", "pedivelle"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Anywhere: true, Axis: spec.NoAxis, Least: 70 * mm, Most: 230 * mm,
			Habits: []read.Habit{{Unit: quantity.MM, From: 140, To: 190, Alone: 0.9}, {Unit: quantity.MM, From: 70, To: 230}}}},
	}
)

// Wheels and tyres that change, and the bike they change under.
var (
	wasWheels = &spec.Arg[tyres]{
		Info: spec.Info{Name: "was", Help: "tyres before the change, front/rear", Example: "26x2.1",
			Words: w("was", "old", "before", "in my", "came with", "instead of", "currently on", de("alt", "vorher", "statt"), fr("ancien", "au lieu de"), es("antes", "en vez de"), it("prima", "invece di")),
			Hints: w("from", "frame", "my", "had", "i had", "it had", "swap", "swapping", "replace", "replacing")},
		As: read.Tyres{Names: true, Before: "now"},
	}
	nowWheels = &spec.Arg[tyres]{
		Info: spec.Info{Name: "now", Help: "tyres after the change, front/rear", Example: "29x2.4",
			Words: w("going to", "change to", "changing to", "swap to", "swap for", "swapped for", "switch to", "convert to", "fit a", "put a", de("wechsel auf"), fr("passer à"), es("cambiar a"), it("passare a")),
			Hints: w("now", "new", "to", "into", "on", "with", de("neu", "jetzt", "auf"), fr("nouveau"), es("ahora"), it("ora"))},
		As: read.Tyres{Names: true, Named: []read.NamedTyres{{Value: "29/27.5",
			Words: w("mullet", "mullets", "mulleted", "mulleting", "mixed wheels", "mixed wheel", "mixed wheelsize", "mixed wheel size", "mx wheels", "party in the back")}}},
	}
	// planWheels takes a wheel's name as well as a tyre; of tyre a bare 29 is
	// more likely something else.
	planWheels = &spec.Arg[tyres]{
		Info: spec.Info{Name: "wheels", Help: "wheel size, or the tyre if it is chosen already, front/rear", Example: "29",
			Words: w("wheels", "wheel size", "tyre", "tyres", "tire", "tires", de("laufradgröße", "reifen"), fr("roues", "pneus"), es("ruedas", "cubiertas"), it("ruote", "gomme"))},
		As: read.Tyres{Names: true, Lone: true, Named: []read.NamedTyres{{Value: "29/27.5",
			Words: w("mullet", "mullets", "mixed wheels", "mixed wheel size", "mx wheels")}}},
	}
	wheelbase = &spec.Arg[measure]{
		Info: spec.Info{Name: "wheelbase", Help: "distance of the axles along the ground", Example: "1220 mm",
			Words: w("wheelbase", "wheel base", "wb", de("radstand"), fr("empattement"), es("distancia entre ejes"), it("interasse"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 600 * mm, Most: 2500 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 600, To: 2500}, {Unit: quantity.CM, From: 80, To: 160}}}},
	}
	chainstay = &spec.Arg[measure]{
		Info: spec.Info{Name: "chainstay", Help: "length of the chainstay, bottom bracket to rear axle", Example: "435 mm",
			Words: w("chainstay", "chain stay", "chainstay length", "rear centre", "rear center", "cs", de("kettenstrebe", "kettenstrebenlänge"), fr("base arrière"), es("longitud de vainas"), it("carro"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: 250 * mm, Most: 1000 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: 250, To: 1000}, {Unit: quantity.CM, From: 30, To: 60}}}},
	}
	bbdrop = &spec.Arg[measure]{
		Info: spec.Info{Name: "drop", Help: "how far the bottom bracket lies below the axles", Example: "30 mm",
			Words: w("bb drop", "bottom bracket drop", "drop", de("tretlagerabsenkung"), fr("abaissement"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindLength, Axis: spec.NoAxis, Least: -150 * mm, Most: 150 * mm, Cued: true,
			Habits: []read.Habit{{Unit: quantity.MM, From: -100, To: 150}}}},
	}
	headangle = &spec.Arg[measure]{
		Info: spec.Info{Name: "headangle", Label: "head angle", Help: "head angle before the change", Example: "65.5°",
			Words: w("head angle", "head tube angle", "hta", "ha", de("lenkwinkel"), fr("angle de direction"), es("ángulo de dirección"), it("angolo sterzo"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindAngle, Axis: spec.NoAxis, Least: 50 * deg, Most: 80 * deg, Cued: true,
			Habits: []read.Habit{{Unit: quantity.DegreeUnit, From: 55, To: 80}}}},
	}
)

// Sizes to compare, units to convert, things to explain.
var (
	sizeA = &spec.Arg[size.Mark]{
		Info: spec.Info{Name: "a", Help: "a size to compare", Example: "650B"},
		As:   read.Size{},
	}
	sizeB = &spec.Arg[size.Mark]{
		Info: spec.Info{Name: "b", Help: "the size to compare it with", Example: "27.5"},
		As:   read.Size{},
	}
	amount = &spec.Arg[measures]{
		Info: spec.Info{Name: "quantity", Help: "a number with its unit", Example: "1.6 bar",
			Words: w("convert")},
		As: read.Pair{Numbers: read.Numbers{Any: true, Axis: spec.FrontRear}},
	}
	to = &spec.Arg[quantity.Unit]{
		Info: spec.Info{Name: "to", Help: "the unit wanted", Example: "psi",
			Words: w("in", "to", "into", "as", "how many", "how much in", de("in", "nach", "wie viele", "wieviel", "wie viel"), fr("en", "combien de"), es("en", "a", "cuántos", "cuantos", "cuántas"), it("in", "quanti", "quante"))},
		As: read.UnitOf{},
	}
)

// What people name and want kept.
var (
	onBike     = named("on", "the bike or set-up meant, by its name", "hardtail", w("on bike", "for bike", "with setup", "using setup", "on setup", "bike called", "bike named", de("mit dem rad"), fr("avec le vélo")))
	ownName    = named("name", "the name of a thing that is kept", "blue hardtail", w("called", "named", "for the", "for customer", "name", de("namens", "für das"), fr("pour le"), es("para la"), it("per la")))
	saveAs     = named("save", "the name to keep it under", "hardtail", w("save as", "save it as", "save this as", "store as", "keep as", "remember as", de("speichern als", "speicher als"), fr("enregistrer comme"), es("guardar como"), it("salva come")))
	hubName    = named("hub", "a hub, by the shop's name for it", "rear disc", w("hub called", "hub named"))
	rimName    = labelled("rim name", named("rimname", "a rim, by the shop's name for it", "trail 30", w("rim called", "rim named")))
	place      = named("place", "where a ride goes or starts", "quarry car park", w("meeting at", "meet at", "meeting point", "starts at the", "from the", de("treffpunkt"), fr("départ")))
	pumpreads  = labelled("pump reads", reading("pumpreads", "what the pump's gauge reads", "30 psi", "", w("pump says", "pump reads", "pump shows", "pump gauge says", "track pump says", de("pumpe sagt", "pumpe zeigt"), fr("pompe dit"))))
	gaugereads = labelled("gauge reads", reading("gaugereads", "what the gauge to be trusted reads at the same time", "26 psi", "pumpreads", w("digital", "digital says", "digital gauge", "digital reads", "gauge says", "gauge reads", "my gauge says", de("digital zeigt"), fr("manomètre dit"))))
	wantedEnd  = &spec.Arg[string]{
		Info: spec.Info{Name: "wanted", Label: "asked for", Help: "the end whose pressure is asked for, where the other's is told", Example: "rear"},
		As:   read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{{Value: "front"}, {Value: "rear"}}}},
	}
	wheelCount = &spec.Arg[measure]{
		Info: spec.Info{Name: "howmany", Label: "how many wheels", Help: "how many wheels are to be built alike", Example: "3",
			Words: w("wheels", "wheel sets", "wheels of", "wheels to build", de("laufräder", "räder"), fr("roues"), es("ruedas"), it("ruote"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 2, Most: 100, Whole: true, Cued: true, Behind: true, Habits: []read.Habit{{From: 2, To: 100}}}},
	}
	stock = &spec.Arg[measure]{
		Info: spec.Info{Name: "stock", Help: "how many are in stock", Example: "24",
			Words: w("stock", "in stock", "on the shelf", "left in the box", de("auf lager"), fr("en stock"))},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Most: 100000, Whole: true, Cued: true, Habits: []read.Habit{{From: 0, To: 100000}}}},
	}
	felt = &spec.Arg[[]spec.Ends[string]]{
		Info: spec.Info{Name: "felt", Help: "how the tyres felt, and at which end", Example: "squirm front; strike rear"},
		As: read.FeltOf{Choices: read.Choices{Axis: spec.FrontRear, All: []read.Choice{
			{Value: "burp", Words: w("burp", "burps", "burped", "burping")},
			{Value: "squirm", Words: w("squirm", "squirms", "squirmed", "squirmy", "squirming", "folds", "folded", "vague", de("schwammig"))},
			{Value: "harsh", Words: w("harsh", "too hard", "skips", "skipping", "skipped", "skittish", de("hart"))},
			{Value: "strike", Words: w("strikes", "struck", "rim strike", "rim strikes", "rim hit", "rim hits", "bottomed out", "hit the rim", "dinged", "ding", de("durchschlag"))},
			{Value: "hop", Words: w("hop", "hops", "hopping")},
			{Value: "bounce", Words: w("bounce", "bounces", "bounced", "bouncy")},
			{Value: "fine", Words: w("felt fine", "felt good", "felt great", "felt right", "was spot on", "spot on", "perfect")},
		}}},
	}
	when = &spec.Arg[string]{
		Info: spec.Info{Name: "when", Help: "the day of a ride", Example: "Saturday"},
		As: read.OneOf{Choices: read.Choices{Axis: spec.NoAxis, All: []read.Choice{
			{Value: "today", Words: w("today", "tonight", de("heute"), fr("aujourd'hui"), es("hoy"), it("oggi"))},
			{Value: "tomorrow", Words: w("tomorrow", "tmrw", "tomoz", de("morgen"), fr("demain"), es("mañana"), it("domani"))},
			{Value: "Monday", Words: w("monday", "mon", de("montag"), fr("lundi"), es("lunes"), it("lunedì"))},
			{Value: "Tuesday", Words: w("tuesday", "tues", "tue", de("dienstag"), fr("mardi"), es("martes"), it("martedì"))},
			{Value: "Wednesday", Words: w("wednesday", "wed", "weds", de("mittwoch"), fr("mercredi"), es("miércoles"), it("mercoledì"))},
			{Value: "Thursday", Words: w("thursday", "thu", "thurs", de("donnerstag"), fr("jeudi"), es("jueves"), it("giovedì"))},
			{Value: "Friday", Words: w("friday", "fri", de("freitag"), fr("vendredi"), es("viernes"), it("venerdì"))},
			{Value: "Saturday", Words: w("saturday", "sat", de("samstag", "sonnabend"), fr("samedi"), es("sábado"), it("sabato"))},
			{Value: "Sunday", Words: w("sunday", "sun", de("sonntag"), fr("dimanche"), es("domingo"), it("domenica"))},
		}}},
	}
	riders = &spec.Arg[read.Party]{
		Info: spec.Info{Name: "riders", Help: "how many ride, or each with name, weight and tyre", Example: "6", Personal: true,
			Words: w("riders", "ppl", "people", "peeps", "people riding", "of us", "in the group", de("fahrer", "leute"), fr("cyclistes"), es("ciclistas"), it("ciclisti"))},
		As: read.Riders{
			Numbers: read.Numbers{Kind: quantity.Bare, Axis: spec.NoAxis, Least: 1, Most: 40, Whole: true, Cued: true, Habits: []read.Habit{{From: 1, To: 40}}},
			Has:     []read.Choice{{Value: "tubeless", Words: w("tubeless")}, {Value: "tubes", Words: w("tubes", "tube", de("schlauch", "schläuche"), fr("chambre", "chambres"), es("cámara", "cámaras", "camara", "camaras"), it("camera", "camere"))}, {Value: "insert", Words: w("insert", "inserts", de("einsatz"), fr("mousse", "mousses"), es("espuma"), it("inserto"))}},
		},
	}
)

func named(name, help, example string, cues spec.Words) *spec.Arg[string] {
	return &spec.Arg[string]{Info: spec.Info{Name: name, Help: help, Example: example, Words: cues}, As: read.Name{}}
}

// reading is a pressure that an instrument shows.
func reading(name, help, example, with string, cues spec.Words) *spec.Arg[measure] {
	return &spec.Arg[measure]{
		Info: spec.Info{Name: name, Help: help, Example: example, Words: cues},
		As: read.Number{Numbers: read.Numbers{Kind: quantity.KindPressure, Axis: spec.NoAxis, Least: 0.1 * bar, Most: 20 * bar, Cued: true, Said: true, With: with,
			Habits: []read.Habit{{Unit: quantity.PSIUnit, From: 9, To: 250}, {Unit: quantity.BarUnit, From: 0.4, To: 9}}}},
	}
}
