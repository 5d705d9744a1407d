package main

import (
	"encoding/json"
	"syscall/js"

	"urdir/design"
	"urdir/internal/screen"
)

// drawings is the figures on the table, each under a number.
func drawings() js.Value {
	world := js.Global().Get("Object").New()
	open, next := map[int]*screen.Drawing{}, 0
	text := func(name string, f func(d *screen.Drawing, args []js.Value) string) {
		world.Set(name, js.FuncOf(func(_ js.Value, args []js.Value) any {
			d, ok := open[args[0].Int()]
			if !ok {
				return ""
			}
			return f(d, args[1:])
		}))
	}
	world.Set("open", js.FuncOf(func(_ js.Value, args []js.Value) any {
		language := args[1].String()
		var in screen.Surroundings
		if err := json.Unmarshal([]byte(args[2].String()), &in); err != nil {
			return ""
		}
		d, err := screen.OpenDrawing(args[0].String(), language, in)
		if err != nil {
			b, _ := json.Marshal(map[string]any{"problems": screen.ReadProblems(err, language)}) // texts
			return string(b)
		}
		next++
		open[next] = d
		return next
	}))
	world.Set("close", js.FuncOf(func(_ js.Value, args []js.Value) any {
		delete(open, args[0].Int())
		return nil
	}))
	world.Set("words", js.FuncOf(func(_ js.Value, args []js.Value) any {
		words, err := screen.DrawingWords(args[0].String())
		if err != nil {
			return ""
		}
		b, _ := json.Marshal(words) // texts
		return string(b)
	}))
	text("state", func(d *screen.Drawing, _ []js.Value) string { return d.State() })
	text("ask", func(d *screen.Drawing, args []js.Value) string { return d.Ask(args[0].String()) })
	text("text", func(d *screen.Drawing, _ []js.Value) string { return d.Text() })
	text("tell", func(d *screen.Drawing, args []js.Value) string {
		return d.Tell(args[0].Int(), args[1].Int(), args[2].Int())
	})
	text("barred", func(d *screen.Drawing, args []js.Value) string {
		var r design.Region
		if err := json.Unmarshal([]byte(args[0].String()), &r); err != nil {
			return "[]"
		}
		return d.Barred(r, args[1].Int())
	})
	return world
}
