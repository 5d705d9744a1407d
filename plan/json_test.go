package plan_test

import (
	"reflect"
	"strings"
	"testing"

	"urdir/measure"
	"urdir/plan"
)

// Names in JSON end in their unit, and every field that is shown has a name of
// its own: a reader of the file needs no other document.
func TestPlan_namesInJSON(t *testing.T) {
	units := map[reflect.Type]string{
		reflect.TypeFor[measure.CM]():     "_cm",
		reflect.TypeFor[measure.MM]():     "_mm",
		reflect.TypeFor[measure.M]():      "_m",
		reflect.TypeFor[measure.Gram]():   "_g",
		reflect.TypeFor[measure.Tex]():    "_tex",
		reflect.TypeFor[measure.PerCM]():  "_per_cm",
		reflect.TypeFor[measure.PerM2]():  "_g_per_m2",
		reflect.TypeFor[measure.CM3G]():   "_cm3_per_g",
		reflect.TypeFor[measure.Ratio]():  "_fraction",
		reflect.TypeFor[measure.Degree](): "_deg",
	}
	seen := map[reflect.Type]bool{}
	met := map[reflect.Type]bool{}
	var look func(reflect.Type)
	look = func(typ reflect.Type) {
		switch typ.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Array:
			look(typ.Elem())
			return
		case reflect.Struct:
		default:
			return
		}
		if seen[typ] {
			return
		}
		seen[typ] = true
		for f := range typ.Fields() {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			switch {
			case !f.IsExported() || name == "-":
				continue
			case name == "":
				t.Errorf("%v.%s has no name in JSON", typ, f.Name)
			}
			base := f.Type
			for base.Kind() == reflect.Pointer || base.Kind() == reflect.Slice {
				base = base.Elem()
			}
			if unit, ok := units[base]; ok {
				met[base] = true
				if !strings.HasSuffix(name, unit) {
					t.Errorf("%v.%s is %q in JSON, want it to end in %s", typ, f.Name, name, unit)
				}
			}
			look(f.Type)
		}
	}
	look(reflect.TypeFor[plan.Plan]())
	// Most units are met; otherwise the walk went wrong.
	if len(met) < 6 || len(seen) < 10 {
		t.Errorf("only %d units in %d types", len(met), len(seen))
	}
}
