"""What is drawn where: values for the writers of paper and DXF."""
