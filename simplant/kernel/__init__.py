"""The controller: image, filters, tasks, scans, watchdog, restarts. Pure: no files, no clock, no dice."""
