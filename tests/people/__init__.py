"""What is said of people, labelled: who keeps away from what, how gravely, how much they eat."""
