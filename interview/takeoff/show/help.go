package show

// Help says what a person can tell for the sums, and where.
const Help = `takeoff does the sums of every part: the first choice, or the method that is named. Whatever is not told comes from
proven test patches, from the answers, or else from planning ranges. What can be told stands in the job file under
takeoff:, of the site and of each part. What a part tells wins.

  of a part    width, height, sides, openings, kind, factor; or length and girth; or area; film (gauge reading),
               lead (such as 2 mg/cm2), lead_share, joints, sure
  of both      wage, crew, hours_a_day, visit, prices, containers, rates (own time by method, such as 0.6 h/m2),
               waste, window, drying, cure, weather, rinse, alkali_of_paste, drum, bag, trip_hours, room, air,
               air_changes, mixing, solvent, solvent_share, exposure_limit, currency

Every figure has its unit and may be a range: 2.4 m, 5 ft 6 in, 2-3 mm, 25 to 32 GBP/h. Money names its currency.`
