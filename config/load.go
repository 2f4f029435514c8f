package config

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/go-viper/mapstructure/v2"
	"github.com/spf13/viper"
	"go.yaml.in/yaml/v3"
)

// prefix of the variables of the environment.
const prefix = "SPOKEWORD_"

// fileSuffix marks the setting that names a file with a secret in it.
const fileSuffix = "_file"

// delimiter between section and name within viper. Its own is the dot, at
// which it would also split the keys of maps.
const delimiter = "\x1f"

// leaf is one setting of a struct.
type leaf struct {
	Setting
	kind    reflect.Type
	section string // help of the section
}

var (
	durationType = reflect.TypeFor[time.Duration]()
	secretType   = reflect.TypeFor[Secret]()
)

// leaves lists the settings of a struct, section by section.
func leaves(of any) []leaf {
	var all []leaf
	var walk func(t reflect.Type, path []string, section string)
	walk = func(t reflect.Type, path []string, section string) {
		for i := range t.NumField() {
			f := t.Field(i)
			at := append(path[:len(path):len(path)], f.Tag.Get("mapstructure"))
			if f.Type.Kind() == reflect.Struct && f.Type != secretType {
				walk(f.Type, at, f.Tag.Get("help"))
				continue
			}
			key := strings.Join(at, ".")
			all = append(all, leaf{kind: f.Type, section: section, Setting: Setting{
				Key: key, Env: envName(key), Default: f.Tag.Get("default"), Wants: f.Tag.Get("wants"), Help: f.Tag.Get("help")}})
		}
	}
	walk(reflect.TypeOf(of), nil, "")
	return all
}

func envName(key string) string {
	return prefix + strings.ToUpper(strings.NewReplacer(".", "_", "-", "_").Replace(key))
}

// inner writes a key as viper keeps it.
func inner(key string) string { return strings.ReplaceAll(key, ".", delimiter) }

// load fills a struct from all sources. Every key is bound by itself, so a
// variable that is only in the environment counts, and one named as a whole
// section can't hide it. An empty variable is none.
func load[T any](from Source, into *T) error {
	all := leaves(*into)
	getenv := Lookup(from.Environ)
	v := viper.NewWithOptions(viper.KeyDelimiter(delimiter))
	var wrong []error
	note := func(err error) {
		if err != nil {
			wrong = append(wrong, err)
		}
	}
	for _, l := range all {
		if l.Default != "" {
			value, err := parse(l, l.Default)
			note(err)
			v.SetDefault(inner(l.Key), value)
		}
	}
	if from.File != "" {
		note(readFile(v, from.File, all))
	}
	note(straySections(getenv, all))
	note(strayVariables(from.Environ, all))
	for _, l := range all {
		if text := getenv(l.Env); text != "" && l.kind != secretType {
			note(set(v, all, l.Key, text, "environment "+l.Env))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(from.Flags)) {
		note(set(v, all, key, from.Flags[key], "command line"))
	}
	settings := make(map[string]any)
	for _, l := range all {
		value, err := valueOf(v, getenv, l)
		note(err)
		if value != nil {
			put(settings, l.Key, value)
		}
	}
	if len(wrong) > 0 {
		return errors.Join(wrong...)
	}
	w := viper.NewWithOptions(viper.KeyDelimiter(delimiter))
	if err := w.MergeConfigMap(settings); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	// Everything has its right type by now; what hasn't is refused, not bent.
	return w.UnmarshalExact(into, func(c *mapstructure.DecoderConfig) {
		c.WeaklyTypedInput = false
		c.DecodeHook = nil
	})
}

// valueOf returns the value of one setting in its own type, nil if there is
// none.
func valueOf(v *viper.Viper, getenv func(string) string, l leaf) (any, error) {
	if l.kind == secretType {
		return secretOf(v, getenv, l)
	}
	return convert(l, v.Get(inner(l.Key)))
}

// readFile reads a YAML file and checks its keys.
func readFile(v *viper.Viper, path string, all []leaf) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("settings file: %w", err)
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return fmt.Errorf("settings file %s: found no YAML: %s", path, strings.TrimPrefix(unsaid(err), "yaml: "))
	}
	if len(doc.Content) == 0 {
		return nil // empty, or nothing but comments
	}
	if doc.Content[0].Kind != yaml.MappingNode {
		return fmt.Errorf("settings file %s: found no sections: want them as in the example file", path)
	}
	if err := checkKeys(doc.Content[0], "", all); err != nil {
		return fmt.Errorf("settings file %s: %w", path, err)
	}
	v.SetConfigType("yaml")
	if err := v.ReadConfig(bytes.NewReader(text)); err != nil {
		return fmt.Errorf("settings file %s: %s", path, unsaid(err))
	}
	return nil
}

// unsaid is an error's text without what it quotes: that is taken from the
// file, and may be a secret.
func unsaid(err error) string {
	var b strings.Builder
	var quote rune
	for _, c := range err.Error() {
		switch {
		case quote != 0 && c == quote:
			quote = 0
			b.WriteString("…")
			b.WriteRune(c)
		case quote != 0:
		default:
			if c == '\'' || c == '"' || c == '`' {
				quote = c
			}
			b.WriteRune(c)
		}
	}
	return b.String()
}

// checkKeys looks at the keys as they stand in the file: viper would make them
// lower case, and leave out of its report what it then can't find.
func checkKeys(n *yaml.Node, path string, all []leaf) error {
	var wrong []error
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		at := key.Value
		if path != "" {
			at = path + "." + at
		}
		l, isLeaf := leafAt(all, at)
		switch {
		case key.Value != strings.ToLower(key.Value):
			wrong = append(wrong, fmt.Errorf("line %d: found key %q: want it in lower case", key.Line, key.Value))
		case strings.Contains(key.Value, "."):
			wrong = append(wrong, fmt.Errorf("line %d: found key %q: want the setting below its section", key.Line, key.Value))
		case isLeaf && l.kind.Kind() == reflect.Map && value.Kind == yaml.MappingNode:
			for j := 0; j < len(value.Content); j += 2 {
				if k := value.Content[j]; k.Value != strings.ToLower(k.Value) {
					wrong = append(wrong, fmt.Errorf("line %d: found key %q: want it in lower case", k.Line, k.Value))
				}
			}
		case isLeaf:
		case isSection(all, at):
			if value.Kind == yaml.MappingNode {
				if err := checkKeys(value, at, all); err != nil {
					wrong = append(wrong, err)
				}
			} else if value.Tag != "!!null" {
				wrong = append(wrong, fmt.Errorf("line %d: found a value for the section %s: want its settings below it", key.Line, at))
			}
		default:
			wrong = append(wrong, fmt.Errorf("line %d: found setting %s, which does not exist%s", key.Line, at, meant(all, at)))
		}
	}
	return errors.Join(wrong...)
}

// leafAt returns the setting of that key, or the secret whose file it names.
func leafAt(all []leaf, key string) (leaf, bool) {
	for _, l := range all {
		if l.Key == key || l.kind == secretType && l.Key+fileSuffix == key {
			return l, true
		}
	}
	return leaf{}, false
}

func isSection(all []leaf, key string) bool {
	for _, l := range all {
		if strings.HasPrefix(l.Key, key+".") {
			return true
		}
	}
	return false
}

// meant returns the setting a misspelt key is nearest to, as the end of a
// sentence.
func meant(all []leaf, key string) string {
	var names []string
	for _, l := range all {
		names = append(names, l.Key)
		if section, _, ok := strings.Cut(l.Key, "."); ok {
			names = append(names, section)
		}
	}
	return nearest(names, key)
}

// nearest returns the name that a misspelt one is nearest to, as the end of a
// sentence.
func nearest(names []string, misspelt string) string {
	best, least := "", len(misspelt)/3+2
	for _, name := range names {
		if d := distance(misspelt, name); d < least {
			best, least = name, d
		}
	}
	if best == "" {
		return ""
	}
	return ": did you mean " + best + "?"
}

// distance counts the letters to change, add or leave out to get from a to b.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		before := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := before
			if a[i] != b[j] {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// straySections refuses a variable named as a whole section, which someone set
// in the belief that it does something.
func straySections(getenv func(string) string, all []leaf) error {
	var wrong []error
	seen := make(map[string]bool)
	for _, l := range all {
		parts := strings.Split(l.Key, ".")
		for i := 1; i < len(parts); i++ {
			section := strings.Join(parts[:i], ".")
			if name := envName(section); !seen[name] && getenv(name) != "" {
				wrong = append(wrong, fmt.Errorf("environment: found %s, which is a section: want one of its settings, as %s", name, l.Env))
			}
			seen[envName(section)] = true
		}
	}
	return errors.Join(wrong...)
}

// linked are the variables that Kubernetes sets in every pod beside a service
// that is named as we are. They are nobody's mistake.
// https://kubernetes.io/docs/concepts/services-networking/service/#environment-variables
var linked = regexp.MustCompile(`^` + prefix + `(SERVICE_HOST|SERVICE_PORT(_\w+)?|PORT(_\d+_\w+)?)$`)

// strayVariables refuses variables that look like settings and are none: what
// was meant by them would silently not be so. Their values are not shown.
func strayVariables(environ []string, all []leaf) error {
	known := []string{FileEnv}
	sections := make(map[string]bool)
	for _, l := range all {
		known = append(known, l.Env)
		if l.kind == secretType {
			known = append(known, l.Env+strings.ToUpper(fileSuffix))
		}
		for i := strings.LastIndex(l.Key, "."); i > 0; i = strings.LastIndex(l.Key[:i], ".") {
			sections[envName(l.Key[:i])] = true // has a sentence of its own
		}
	}
	var wrong []error
	for _, pair := range slices.Sorted(slices.Values(environ)) {
		name, value, _ := strings.Cut(pair, "=")
		if value == "" || !strings.HasPrefix(name, prefix) || slices.Contains(known, name) || sections[name] || linked.MatchString(name) {
			continue
		}
		wrong = append(wrong, fmt.Errorf("environment: found %s, which is no setting%s", name, nearest(known, name)))
	}
	return errors.Join(wrong...)
}

// Lookup returns a function that finds a variable in an environment.
func Lookup(environ []string) func(string) string {
	values := make(map[string]string, len(environ))
	for _, pair := range environ {
		if name, value, ok := strings.Cut(pair, "="); ok {
			values[name] = value
		}
	}
	return func(name string) string { return values[name] }
}

// set gives a setting a value typed as text. From says where it was typed.
func set(v *viper.Viper, all []leaf, key, text, from string) error {
	l, ok := leafAt(all, key)
	if !ok {
		return fmt.Errorf("%s: found setting %s, which does not exist%s", from, key, meant(all, key))
	}
	value, err := parse(l, text)
	if err != nil {
		return fmt.Errorf("%s: %w", from, err)
	}
	v.Set(inner(key), value)
	return nil
}

// secretOf returns a secret: the environment's, else the file's, from where it
// stands or from a file of its own.
func secretOf(v *viper.Viper, getenv func(string) string, l leaf) (any, error) {
	name, fileName := l.Env, l.Env+strings.ToUpper(fileSuffix)
	text, path := getenv(name), getenv(fileName)
	if text == "" && path == "" {
		name, fileName = l.Key, l.Key+fileSuffix
		for key, into := range map[string]*string{name: &text, fileName: &path} {
			switch found := v.Get(inner(key)).(type) {
			case nil:
			case string:
				*into = found
			default: // and not what was found
				return nil, fmt.Errorf("setting %s: found no text: want it in quotes", key)
			}
		}
	}
	switch {
	case text != "" && path != "":
		return nil, fmt.Errorf("found both %s and %s: want one", name, fileName)
	case text != "":
		return NewSecret(text), nil
	case path == "":
		return nil, nil
	}
	inFile, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("setting %s: %w", fileName, err)
	}
	if text = strings.TrimRight(string(inFile), "\r\n"); text == "" {
		return nil, fmt.Errorf("setting %s: found nothing in the file: want the secret", fileName)
	}
	return NewSecret(text), nil
}

// put sets a key of nested settings.
func put(settings map[string]any, key string, value any) {
	parts := strings.Split(key, ".")
	for _, p := range parts[:len(parts)-1] {
		below, ok := settings[p].(map[string]any)
		if !ok {
			below = make(map[string]any)
			settings[p] = below
		}
		settings = below
	}
	settings[parts[len(parts)-1]] = value
}

// parse reads a value typed as text, in the environment or on the command
// line.
func parse(l leaf, text string) (any, error) {
	text = strings.TrimSpace(text)
	wrong := func(want string) error { return fmt.Errorf("setting %s: found %q: want %s", l.Key, text, want) }
	if l.kind == durationType {
		// "0" would be read without a unit too.
		d, err := time.ParseDuration(text)
		if err != nil || text[len(text)-1] < 'a' {
			return nil, wrong(wantDuration)
		}
		return d, nil
	}
	switch l.kind.Kind() {
	case reflect.Int:
		n, err := strconv.Atoi(text)
		if err != nil {
			return nil, wrong("a whole number")
		}
		return n, nil
	case reflect.Bool:
		switch text {
		case "true":
			return true, nil
		case "false":
			return false, nil
		}
		return nil, wrong("true or false")
	case reflect.Slice:
		var items []string
		for item := range strings.SplitSeq(text, ",") {
			if item = strings.TrimSpace(item); item != "" {
				items = append(items, item)
			}
		}
		return items, nil
	case reflect.Map:
		pairs := make(map[string]string)
		for item := range strings.SplitSeq(text, ",") {
			if strings.TrimSpace(item) == "" {
				continue
			}
			key, value, ok := strings.Cut(item, "=")
			if !ok {
				return nil, wrong("pairs, as a=1,b=2")
			}
			pairs[strings.ToLower(strings.TrimSpace(key))] = strings.TrimSpace(value)
		}
		return pairs, nil
	}
	return text, nil
}

const wantDuration = "a duration with its unit, as 90s or 5m"

// convert checks what stands in a file for a setting, and refuses what would
// change on the way: a bare number for a duration would be nanoseconds, a
// fraction would lose its end, a yes would become text.
func convert(l leaf, found any) (any, error) {
	wrong := func(want string) error { return fmt.Errorf("setting %s: found %v: want %s", l.Key, found, want) }
	if found == nil || reflect.TypeOf(found) == l.kind {
		return found, nil
	}
	if l.kind == durationType {
		if text, ok := found.(string); ok {
			return parse(l, text)
		}
		return nil, wrong(wantDuration)
	}
	switch l.kind.Kind() {
	case reflect.Int:
		return nil, wrong("a whole number")
	case reflect.Bool:
		return nil, wrong("true or false")
	case reflect.Slice:
		items, ok := found.([]any)
		texts := make([]string, len(items))
		for i, item := range items {
			texts[i], ok = item.(string)
			if !ok {
				break
			}
		}
		if !ok {
			return nil, wrong("a list of texts")
		}
		return texts, nil
	case reflect.Map:
		pairs, ok := found.(map[string]any)
		texts := make(map[string]string, len(pairs))
		for key, item := range pairs {
			text, isText := item.(string)
			ok = ok && isText
			texts[key] = text
		}
		if !ok {
			return nil, wrong("texts by name")
		}
		return texts, nil
	}
	return nil, wrong("text, in quotes if it looks like something else")
}
