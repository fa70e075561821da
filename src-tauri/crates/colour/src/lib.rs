//! Pure maths of concrete colour: patches to CIELAB, differences, dose fits.
