"""Will it fit? Two plates side by side, verdict, picture and parts card; and the calculators beside it. No models."""
