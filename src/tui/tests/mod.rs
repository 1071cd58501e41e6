mod small;
