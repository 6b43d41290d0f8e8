module patchfirst

go 1.26.8

require (
	github.com/expr-lang/expr v1.17.8 // indirect
	gopkg.in/yaml.v3 v3.0.1 // indirect
)
