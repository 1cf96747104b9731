"""The physics: air, refrigerant, coils, compressor and circuit; knobs, not faults."""
