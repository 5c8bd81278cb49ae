namespace XoverOpt.Acoustics.Kernel;

/// <summary>A bore that a search moves: a place in a <see cref="BoreFamily"/> and the table there, made anew at each move.</summary>
public sealed class RelaxedBore
{
    private readonly BoreFamily _family;

    /// <summary>Starts at the middle of the family, on the log scale.</summary>
    public RelaxedBore(BoreFamily family)
    {
        _family = family;
        Table = new(new Planes(5, family.Grid.Count));
        Slopes = new(2, family.Grid.Count);
        MoveTo(Math.Sqrt(family.Smallest * family.Largest));
    }

    /// <summary>Smallest bore, m.</summary>
    public double Smallest => _family.Smallest;

    /// <summary>Largest bore, m.</summary>
    public double Largest => _family.Largest;

    /// <summary>The table at the present bore.</summary>
    public BoreTable Table { get; }

    /// <summary>∂Γ/∂bore, 1/m², and ∂ln Z_c/∂bore, 1/m.</summary>
    internal Planes Slopes { get; }

    /// <summary>Moves to a bore, m; between nodes the table is interpolated.</summary>
    public void MoveTo(double bore)
    {
        if (bore == Table.Bore)
        {
            return;
        }

        _family.Fill(bore, Table.Planes, Slopes);
        Table.Moved(bore);
    }
}
