namespace XoverOpt.Acoustics.Tests;

/// <summary>A random build with what it speaks into and what drives it.</summary>
internal sealed record Build(Earpiece Earpiece, Ear Ear, Source Source);

/// <summary>
/// A seeded stream of builds: 1 to 4 ways, 1 to 4 receivers each, every wiring, polarity and kind of section, dampers, stepped tubes,
/// leaks and source resistances. Ranges are those of small receivers, common practice, no source.
/// </summary>
/// <param name="seed">The same seed gives the same stream.</param>
/// <param name="lumpedCoils">Coils with an inductance or none, so that a circuit simulator of lumped elements can follow.</param>
internal sealed class RandomEarpieces(int seed, bool lumpedCoils = false)
{
    private readonly Random random = new(seed);

    public IEnumerable<Build> Take(int count) => Enumerable.Range(0, count).Select(_ => Next());

    public Build Next()
    {
        Air air = Air.At(Between(15, 37));
        var ear = new Ear(
            EarSimulator.Sets[random.Next(EarSimulator.Sets.Count)],
            Chance(0.5) ? Between(1e-3, 8e-3) : 0,
            Between(6e-3, 8e-3),
            Chance(0.3) ? new Leak(Log(1e7, 1e9), Log(1e2, 1e4)) : null,
            air);
        ear = ear with { AddedVolume = Chance(0.3) ? Log(5e-9, 200e-9) : 0 };
        Way[] ways = [.. Enumerable.Range(0, random.Next(1, 5)).Select(NextWay)];
        return new Build(new Earpiece(ways), ear, new Source(Log(1e-3, 1), Chance(0.3) ? 0 : Log(0.1, 50)));
    }

    private Way NextWay(int index) => new(
        $"way {index}",
        NextReceiver(),
        random.Next(1, 5),
        Chance(0.5) ? Wiring.Parallel : Wiring.Series,
        Chance(0.5) ? Polarity.Normal : Polarity.Inverted,
        [.. Enumerable.Range(0, random.Next(0, 5)).Select(_ => NextSection())],
        Chance(0.3) ? 0 : Log(1e7, 5e8),
        [.. Enumerable.Range(0, random.Next(0, 3)).Select(_ => new TubeSegment(Between(2e-3, 20e-3), Between(0.8e-3, 2.5e-3)))]);

    private NetworkSection NextSection()
    {
        int parts = random.Next(1, 8);
        return new NetworkSection(
            Chance(0.6) ? SectionPlace.Series : SectionPlace.Shunt,
            (parts & 1) != 0 ? Log(2, 300) : null,
            (parts & 2) != 0 ? Log(0.1e-6, 100e-6) : null,
            (parts & 4) != 0 ? Log(0.1e-3, 10e-3) : null,
            Chance(0.5) ? Between(0.05, 1) : 0,
            Chance(0.5) ? Between(0.1, 3) : 0);
    }

    private Receiver NextReceiver()
    {
        bool eddy = !lumpedCoils && Chance(0.6);
        return new Receiver
        {
            PartNumber = "random",
            DcResistance = Log(5, 300),
            Inductance = Chance(0.7) ? Log(0.3e-3, 10e-3) : null,
            SemiInductance = eddy ? Log(1, 15) : null,
            ForceFactor = Log(0.8, 8),
            Mass = Log(1e-6, 15e-6),
            Compliance = Log(0.2e-3, 3e-3),
            Resistance = Log(0.002, 0.03),
            DiaphragmArea = Log(3e-6, 15e-6),
            RearVolume = Log(30e-9, 300e-9),
            FrontVolume = Log(4e-9, 40e-9),
            SpoutLength = Between(0.5e-3, 4e-3),
            SpoutBore = Between(0.8e-3, 2e-3),
        };
    }

    private bool Chance(double probability) => random.NextDouble() < probability;

    private double Between(double low, double high) => low + ((high - low) * random.NextDouble());

    private double Log(double low, double high) => low * Math.Pow(high / low, random.NextDouble());
}
