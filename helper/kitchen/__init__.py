"""What cooks compute: amounts, foods, lots, recipes, costs, matching. Values in, values out."""
