"""Settings: YAML files read into frozen records, by what the records say of their fields."""
