from stickback.store import log


def test_reading_that_nobody_goes_on_with_ends_in_silence_even_when_its_connection_is_gone(store, answer, recwarn):
    log.append(store, "ann", answer(1))
    reading = log.entries_of(store)
    next(reading)
    connection = reading.gi_frame.f_locals["connection"]
    connection.connection.dbapi_connection.close()
    reading.close()
    assert [entry for _, entry in log.entries_of(store)] == [answer(1)]
    assert list(recwarn) == []
