"""Running text set in lines."""
