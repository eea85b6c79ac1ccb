"""The words of the trade as frozen types that everything else passes around."""
