// Package page is reseat view: a page in which a job is worked out, behind a server on this computer or as
// one file with the engine inside.
package page

import (
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"strings"
)

//go:embed web
var web embed.FS

// scripts of the page, in their order.
var scripts = []string{"host.js", "kept.js", "job.js", "fields.js", "work.js", "machine.js"}

func asset(name string) string {
	data, err := web.ReadFile("web/" + name)
	if err != nil {
		panic(err) // a fault of the program
	}
	return string(data)
}

func script() string {
	var all strings.Builder
	for _, name := range scripts {
		all.WriteString(asset(name))
	}
	return all.String()
}

// allowed is a source expression of a content security policy that lets exactly this text run.
func allowed(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// policy is what the served page may do: run its own script and ask its own server.
func policy() string {
	return "default-src 'none'; style-src " + allowed(asset("page.css")) + "; script-src " + allowed(script()) +
		"; connect-src 'self'; img-src data: blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
}

// assemble fills the page.
func assemble(host, policy, engine string) []byte {
	return []byte(strings.NewReplacer("{{host}}", host, "{{policy}}", policy, "{{style}}", asset("page.css"),
		"{{engine}}", engine, "{{script}}", script()).Replace(asset("page.html")))
}

// Single is the page as one file. glue is wasm_exec.js of the Go that built the engine, packed the engine
// compressed by gzip. The page may reach no network.
func Single(glue string, packed []byte) []byte {
	policy := `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src ` +
		allowed(asset("page.css")) + `; script-src ` + allowed(script()) + ` 'wasm-unsafe-eval' blob:; worker-src blob:; ` +
		`img-src data: blob:; base-uri 'none'; form-action 'none'">`
	engine := `<script type="text/plain" id="go">` + glue + `</script>` + "\n" +
		`<script type="text/plain" id="engine">` + base64.StdEncoding.EncodeToString(packed) + `</script>`
	return assemble("file", policy, engine)
}
