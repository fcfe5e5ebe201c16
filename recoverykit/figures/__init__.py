"""Pictures: one module for each panel's picture, over one kept figure that redraws fast."""
