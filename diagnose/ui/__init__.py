"""Front ends: how a consult is shown and read. What happens in it is none of their business."""
