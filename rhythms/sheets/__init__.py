"""What all practice sheets ask for and say."""
