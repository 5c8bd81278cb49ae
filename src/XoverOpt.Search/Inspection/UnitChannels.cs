using System.Numerics;
namespace XoverOpt.Search;

/// <summary>A measurement beside what a unit would have measured, row by row, in standard deviations of the bench.</summary>
internal sealed class UnitChannels
{
    private const double DbPerNeper = 8.685889638065037;

    private readonly BuiltUnitResponse _response;
    private readonly double[] _measured;
    private readonly double[] _scale;
    private readonly double[] _turn;

    public UnitChannels(Problem problem, UnitMeasurement measurement, BenchNoise noise)
    {
        Measurement = measurement;
        _response = new(problem, measurement.Hz);
        List<double> measured = [], scale = [], turn = [];
        Add(measurement.SplDb, noise.LevelDb, double.PositiveInfinity);
        Add(measurement.PhaseDeg, noise.PhaseDeg, 360);
        Add(measurement.ImpedanceOhm?.Select(ohm => DbPerNeper * Math.Log(ohm)).ToArray(), DbPerNeper * noise.ImpedancePercent / 100, double.PositiveInfinity);
        Add(measurement.ImpedancePhaseDeg, noise.ImpedancePhaseDeg, 360);
        (_measured, _scale, _turn) = ([.. measured], [.. scale], [.. turn]);

        // What the bench itself may be off by, as one more deviation each: a level, and a delay where there is a phase.
        double[] level = new double[Rows], delay = new double[Rows];
        int n = measurement.Hz.Length;
        for (int k = 0; k < n; k++)
        {
            level[k] = noise.OffsetDb / _scale[k];
            if (measurement.PhaseDeg is not null)
            {
                delay[n + k] = -360 * measurement.Hz[k] * noise.Delay / _scale[n + k];
            }
        }

        OhmRow = measurement.ImpedanceOhm is null ? -1 : measurement.PhaseDeg is null ? n : 2 * n;
        Bench = measurement.PhaseDeg is null ? [level] : [level, delay];

        void Add(double[]? values, double deviation, double period)
        {
            measured.AddRange(values ?? []);
            scale.AddRange(Enumerable.Repeat(deviation, values?.Length ?? 0));
            turn.AddRange(Enumerable.Repeat(period / deviation, values?.Length ?? 0));
        }
    }

    public UnitMeasurement Measurement { get; }

    /// <summary>Rows in all.</summary>
    public int Rows => _measured.Length;

    /// <summary>The row of the first impedance, in dB re 1 Ω; −1 where none was measured.</summary>
    public int OhmRow { get; }

    /// <summary>What one standard deviation of each of the bench's own errors does to the rows.</summary>
    public double[][] Bench { get; }

    /// <summary>One standard deviation of a row, in its unit.</summary>
    public double Scale(int row) => _scale[row];

    /// <summary>What was measured, in the unit of the row.</summary>
    public double Measured(int row) => _measured[row];

    /// <summary>(measured − expected)/σ.</summary>
    public double[] Residual(BuiltUnit unit)
    {
        (Complex[] pressure, Complex[] impedance) = _response.Of(unit);
        double[] residual = new double[Rows];
        int row = 0;
        foreach (Complex p in pressure)
        {
            Put(DbPerNeper * Math.Log(Math.Max(p.Magnitude, 1e-12) / 20e-6));
        }

        PutAll(Measurement.PhaseDeg, pressure, p => p.Phase * 180 / Math.PI);
        PutAll(Measurement.ImpedanceOhm, impedance, z => DbPerNeper * Math.Log(z.Magnitude));
        PutAll(Measurement.ImpedancePhaseDeg, impedance, z => z.Phase * 180 / Math.PI);
        return residual;

        void PutAll(double[]? measured, Complex[] values, Func<Complex, double> of)
        {
            if (measured is not null)
            {
                foreach (Complex value in values)
                {
                    Put(of(value));
                }
            }
        }

        void Put(double expected)
        {
            residual[row] = Wrapped((_measured[row] - expected) / _scale[row], row);
            row++;
        }
    }

    /// <summary>A difference in σ, of a phase the shorter way round.</summary>
    public double Wrapped(double difference, int row) =>
        double.IsInfinity(_turn[row]) ? difference : difference - (_turn[row] * Math.Round(difference / _turn[row]));
}
