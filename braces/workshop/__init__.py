"""The bench: rim, glue-up, go-bars, clamps, props, humidity, and the order of the work."""
