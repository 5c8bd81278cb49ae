namespace XoverOpt.Worker.Tests.Support;

/// <summary>A build for the drawer of <see cref="Desk"/>, written down rather than searched for.</summary>
internal static class Paper
{
    /// <summary>Two LO-1 and one HI-1 a side: 4 and 2 a set.</summary>
    public const string Build = """
        { "format": "build/1", "rank": 2, "ways": [
          { "name": "low", "receiver": "LO-1", "count": 2, "wiring": "parallel", "polarity": "normal", "network": [ { "place": "series", "kind": "resistor", "ohm": 47 } ],
            "damperOhmCgs": 1000, "tube": [ { "lengthMm": 10, "boreMm": 1.5 } ] },
          { "name": "high", "receiver": "HI-1", "count": 1, "wiring": "parallel", "polarity": "normal", "network": [ { "place": "series", "kind": "resistor", "ohm": 100 } ],
            "damperOhmCgs": 2200, "tube": [ { "lengthMm": 9, "boreMm": 1.5 } ] } ] }
        """;

    /// <summary>Counts and lead times that the drawer lacks, so that the whole build can be had and dated.</summary>
    public const string Counts = """
        part,stock,lead time days,pack size,price breaks
        LO-1,64,10,10,40 at 9.10
        D10,500,5,1,
        D22,500,5,1,
        T15,20,5,5,
        resistor 47 Ω,900,5,100,
        resistor 100 Ω,900,5,100,
        """;
}
