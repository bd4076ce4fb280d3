"""What cooks compute: amounts, foods, lots, recipes, costs, matching. Pure values in, values out."""
