//go:build js

// Command wasm is the engine of the page that is one file: it answers the page's requests within the browser.
package main

import (
	"context"
	"encoding/json"
	"runtime/debug"
	"syscall/js"

	"reseat/cmd/internal/engine"
)

// collectPercent is that of GOGC: the browser gives memory, and one core alone.
const collectPercent = 400

func main() {
	debug.SetGCPercent(collectPercent)
	e := &engine.Engine{}
	js.Global().Set("reseatAsk", js.FuncOf(func(_ js.Value, args []js.Value) any {
		answer, err := e.Ask(context.Background(), []byte(args[0].String()), nil)
		if err != nil {
			answer, _ = json.Marshal(map[string]string{"trouble": err.Error()})
		}
		return string(answer)
	}))
	select {}
}
