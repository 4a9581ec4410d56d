mod pairing;
