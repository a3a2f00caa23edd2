"""The machine: parts that move, balls that fly, people who press, and the world that advances them."""
